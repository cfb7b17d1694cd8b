"""The demo: an invented programme, built through the same actions as a real one."""

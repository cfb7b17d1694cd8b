"""The parts of a report, one module each; all take an `Occasion` and give a `Section`."""

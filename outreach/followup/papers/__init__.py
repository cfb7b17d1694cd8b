"""Papers of follow-up, to print: the sheet of who weighs, and the route of who visits."""

"""The command line: the outermost layer, which may know everything below it."""

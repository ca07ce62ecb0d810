"""Being here puts this folder on the path, so that tests in the folders beneath can use the random rooms in `rooms/`."""

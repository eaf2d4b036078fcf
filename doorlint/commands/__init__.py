"""One plain function a command, with typed arguments and results: the command line and the Python API call them."""

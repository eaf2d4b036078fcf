"""What errors in readings and weights do to a verdict."""

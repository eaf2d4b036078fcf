"""The version, in a room of its own so that every other room may know it."""

__version__ = "0.1.0"

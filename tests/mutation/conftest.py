"""The command that tries changes is no test."""

collect_ignore = ["run.py"]

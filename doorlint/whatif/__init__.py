"""What if: changes, remedies, ranges, tape tolerance. All of it on ``job.but(patch)`` and outcomes."""

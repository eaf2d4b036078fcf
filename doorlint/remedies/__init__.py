"""What would clear a finding, and how far each value may still move."""

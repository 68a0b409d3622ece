"""What the trade knows: built-in materials and machines, and the formulas of cutting."""

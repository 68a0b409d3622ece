"""What a drawing or a solid model holds, and a first job made from it."""

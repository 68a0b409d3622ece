"""From the end of one stroke to the start of the next: at depth through cleared area, or over."""

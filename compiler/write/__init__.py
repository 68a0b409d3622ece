"""From motions to the control's text."""

"""What lies over a screen: questions, panels, help."""

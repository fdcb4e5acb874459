"""Motion and sound as they are analysed, and what their sampling can't tell."""

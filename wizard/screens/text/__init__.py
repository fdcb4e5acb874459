"""Text on a screen: characters, columns, breaking into lines, the words of a step."""

"""The widgets that the screens share."""

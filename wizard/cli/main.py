def main() -> None:
    """Placeholder."""

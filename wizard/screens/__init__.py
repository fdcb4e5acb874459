"""What a person sees: Textual screens that project the state of the engine and decide nothing."""

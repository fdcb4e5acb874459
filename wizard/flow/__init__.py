"""What a trainer writes: the model of a flow, its loading, its static rules, its drawings."""

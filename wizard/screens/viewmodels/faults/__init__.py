"""What is shown of the faults: the ranking with what explains it, the advice, the decision, the remedy."""

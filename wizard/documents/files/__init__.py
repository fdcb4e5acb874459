"""The papers of a visit on disk: their names, their seal, and putting them into place."""

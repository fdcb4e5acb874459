"""From the files of a flow to its model: text, places, form, and what can't be used."""

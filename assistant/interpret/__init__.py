"""Meanings plus what only the moment knows (now, the rig, the last turn) become the fields of events, or a question back."""

"""The Decision page: the gate, what was accepted, who signed, exports."""

"""What people entered: frozen, validated, exactly as printed."""

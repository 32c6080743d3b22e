"""What every command shares with the shell: what it prints, signals, and the last net."""

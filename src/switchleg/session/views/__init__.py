"""What is shown of a session, finished: screens, the talk and paper only lay it out."""

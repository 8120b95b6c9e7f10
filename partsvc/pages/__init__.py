"""Pages for people: bench, parts desk, check, lead. What they show and send is the work's."""

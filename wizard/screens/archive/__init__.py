"""The reviewer's screen: all sessions, those worth reading first, found by words and facts."""

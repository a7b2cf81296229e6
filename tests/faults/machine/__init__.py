"""The fault machine: phones with the real client's store and sync, the real server, and a world that breaks both."""

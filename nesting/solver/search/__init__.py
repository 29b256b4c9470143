"""Lines of search: first layouts, and walkers that go on from them."""

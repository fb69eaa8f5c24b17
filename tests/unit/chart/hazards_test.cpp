// Filled by the change that brings this part.

"""Which look comes next, what it may show, what that would lead to, and what need not be asked."""

// Package printing sets the papers of a hall: the warning sheet that hangs on a wall and the cards that stand beside
// plates. Paper is what people fall back on when the power fails, and nobody can ask it a question, so nothing may be
// cut off, left out in silence, or rest on colour alone. It draws what it is given: it never decides what a name, a
// hazard or a state is, knows no database and no clock, and makes the same bytes of the same input.
package printing

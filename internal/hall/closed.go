package hall

// How an event stands.
const (
	EventOpen   = "open"
	HallClosed  = "hall_closed" // the tables are cleared; records still come in
	EventClosed = "closed"
)

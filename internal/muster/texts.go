package muster

import "forayhall/internal/message"

// Text is what a person reads for the state.
func (s State) Text() message.Text { return message.T("muster.state." + string(s)) }

// Text is what a person reads for the mark.
func (k MarkKind) Text() message.Text { return message.T("muster.mark." + string(k)) }

// Text is what a person reads for the count.
func (k CountKind) Text() message.Text { return message.T("muster.count." + string(k)) }

// Text is what a person reads for the step; what to do in full is Alert.Do.
func (s Step) Text() message.Text { return message.T("muster.step." + s.String()) }

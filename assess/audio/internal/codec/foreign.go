package codec

// Foreign is a valid recording in a codec that only another program decodes.
type Foreign struct {
	Container
	Codec string // for people; empty if the container says it all
	Code  string // Info.Codec; empty: the container's name
}

func (f *Foreign) Error() string { return f.What() + " is not decoded here" }

// What names the codec and its container for people.
func (f *Foreign) What() string {
	if f.Codec == "" {
		return f.Display
	}
	return f.Codec + " in " + f.Display
}

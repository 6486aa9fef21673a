package bench

// schema names the form of all JSON that the page gets.
const schema = "waxwright/bench/1"

// state is all that the page shows but the meshes themselves.
type state struct {
	Schema   string     `json:"schema"`
	Run      string     `json:"run"`  // another for each start of the server
	File     string     `json:"file"` // its name alone
	Title    string     `json:"title"`
	Revision string     `json:"revision"` // of the file as it was read last
	Seq      int        `json:"seq"`      // of the dials that were asked for last; 0: as saved
	By       string     `json:"by"`       // the page that asked for them, as it calls itself
	View     string     `json:"view"`     // "set" or "to-set"
	Busy     string     `json:"busy"`     // "", "coarse", "exact" or "proof"
	Dials    []dial     `json:"dials"`
	Faults   []fault    `json:"faults"`            // with any of them all else is of the last good piece
	Trouble  string     `json:"trouble,omitempty"` // what could not be done, in words
	Model    *model     `json:"model"`
	Ghost    string     `json:"ghost"` // the model of the saved recipe
	Figures  figures    `json:"figures"`
	Remarks  []remark   `json:"remarks"`
	Proved   int        `json:"proved"` // the seq of which the remarks are; -1: none yet
	Castings []casting  `json:"castings"`
	Hang     *hang      `json:"hang"`
	Files    []download `json:"downloads"`
}

// dial is one number or word that can be turned.
type dial struct {
	Name    string   `json:"name"`
	Value   any      `json:"value"` // a number, or a word
	Saved   any      `json:"saved"`
	Min     *float64 `json:"min"` // nil: no bound
	Max     *float64 `json:"max"`
	Step    float64  `json:"step"` // 0: none
	Note    string   `json:"note"`
	Unit    string   `json:"unit"`
	Line    int      `json:"line"`
	Whole   bool     `json:"whole"`
	Choices []string `json:"choices,omitempty"` // of a word
}

// fault is what keeps the recipe from being made.
type fault struct {
	Message string `json:"message"`
	Fix     string `json:"fix"`
	File    string `json:"file"`
	Line    int    `json:"line"`
	Column  int    `json:"column"`
	Source  string `json:"source"` // the line itself
}

// model says which meshes belong to a state.
type model struct {
	ID        string  `json:"id"`
	Quality   string  `json:"quality"` // "coarse" or "exact"
	State     string  `json:"state"`   // "set" or "to-set"
	Seq       int     `json:"seq"`
	Tolerance float64 `json:"tolerance"` // mm
	Triangles int     `json:"triangles"`
	Millis    int     `json:"ms"` // from the request to the packed meshes
	Walls     bool    `json:"walls"`
}

// figures are what the piece weighs and measures.
type figures struct {
	Rough  bool     `json:"rough"` // from coarse meshes
	Weight []figure `json:"weight"`
	Sizes  []figure `json:"sizes"`
	Stones []stones `json:"stones"`
}

type figure struct {
	Label string  `json:"label"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
}

type stones struct {
	Group  string  `json:"group"`
	Count  int     `json:"count"`
	Cut    string  `json:"cut"`
	Gem    string  `json:"gem"`
	Size   float64 `json:"size"`   // mm
	Carats float64 `json:"carats"` // of all of them
}

// remark is one finding of the proof.
type remark struct {
	ID     string       `json:"id"` // the same for the same finding, whatever its figure
	Grade  string       `json:"grade"`
	Check  string       `json:"check"`
	Who    string       `json:"who"`
	Text   string       `json:"text"`
	Limit  string       `json:"limit"` // with its source
	Why    string       `json:"why"`
	Line   int          `json:"line"`
	Column int          `json:"column"`
	Count  int          `json:"count"`
	Places [][3]float64 `json:"places"` // in the model's frame, mm
	Cures  []cure       `json:"cures"`
	Advice []advice     `json:"advice"` // cures by numbers that are no dials
}

// cure is a turn of a dial that was tried: with it the remark is gone, or of a
// better grade.
type cure struct {
	Dial  string `json:"dial"`
	Value any    `json:"value"`
	Text  string `json:"text"`
}

// advice is a change of a number in the recipe, tried as a cure is.
type advice struct {
	Text string `json:"text"`
	Line int    `json:"line"`
}

type casting struct {
	Name     string  `json:"name"`
	Quantity int     `json:"quantity"`
	Weight   float64 `json:"weight"` // g, of one
	Volume   float64 `json:"volume"` // mm3, of one
}

// hang turns the model to how it hangs, about what it hangs by.
type hang struct {
	Matrix [16]float64 `json:"matrix"` // column by column
}

type download struct {
	Name  string `json:"name"`
	Label string `json:"label"`
	Bytes int    `json:"bytes,omitempty"`
}

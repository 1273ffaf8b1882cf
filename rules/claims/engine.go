package claims

// Bounds on what is read of one listing.
const (
	MaxText    = 256 << 10 // bytes of one text
	MaxPhrases = 400       // phrases of one listing
)

// Engine reads texts against the built-in lexicon, the makers' names and the
// user's own lexicons. It is safe for concurrent use.
type Engine struct{}

// New builds an engine. Build it once: it compiles every phrase.
func New(makers []Maker, extra ...*Lexicon) (*Engine, error) { return &Engine{}, nil }

// Read says what the texts claim the item to be.
func (e *Engine) Read(texts []Text, o Options) Result { return Result{Claim: ClaimSilent} }

// Lexicon is the parsed form of one lexicon file.
type Lexicon struct{}

// ParseLexicon reads a lexicon; name is used in errors, which give line and column.
func ParseLexicon(name string, src []byte) (*Lexicon, error) { return &Lexicon{}, nil }

// Disguise is a maker's name written so that a search for it fails.
type Disguise struct {
	Maker      string
	Quote      string
	Start, End int    // byte offsets in the text
	How        string // one of the How words
}

// Words for Disguise.How.
const (
	HowLookAlike = "look-alike" // letters of another script or shape
	HowInvisible = "invisible"  // zero-width characters inside
	HowSpaced    = "spaced"     // "K e s t r e l"
)

// Disguised finds the makers' names written with look-alike letters, invisible
// characters or spaces between the letters.
func (e *Engine) Disguised(text string) []Disguise { return nil }

package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/ability"
	"clapladder.example/assess/internal/words"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/tierscale"
	"clapladder.example/rhythm"
)

// quayside is a small repertoire with a fixed difficulty for every part.
func quayside() []patterns.GradedPiece {
	piece := func(id, name string, tags []string, parts ...patterns.GradedPart) patterns.GradedPiece {
		core := parts[0]
		return patterns.GradedPiece{
			Piece:      bank.Piece{ID: id, Name: name, Tags: tags},
			Difficulty: core.Difficulty, Predicted: core.Difficulty, SD: core.SD, Tier: core.Tier,
			Parts: parts,
		}
	}
	part := func(name string, role bank.Role, notation string, hard float64) patterns.GradedPart {
		return patterns.GradedPart{
			Part:       bank.Part{Name: name, Role: role, Phrase: rhythm.MustParse(notation, "4/4", 96)},
			Difficulty: hard, Predicted: hard, SD: 0.5, Tier: tierscale.Tier(hard),
		}
	}
	return []patterns.GradedPiece{
		piece("bollard", "Round the Bollard", []string{"body", "short"},
			part("core", bank.Core, "x x x .", 1.3)),
		piece("halyard", "Halyard", []string{"buckets", "short"},
			part("core", bank.Core, "x x xx x", 2.4), part("winch", bank.Support, "x . x .", 1.1)),
		piece("slack-tide", "Slack Tide", []string{"body", "sea"},
			part("core", bank.Core, "x xx . x", 3.2), part("pull", bank.Support, "x . x .", 1.2),
			part("spray", bank.Lead, "xx .x xx x", 4.4)),
		piece("bowline", "Bowline", []string{"body", "sea"},
			part("core", bank.Core, "x.x. .xx. x x", 4.1), part("loop", bank.Support, "x x x x", 2.5),
			part("bight", bank.Lead, ".xxx x.xx .x x", 5.6)),
		piece("gale", "Gale Warning", []string{"drums"},
			part("core", bank.Core, ".xxx .xx. x.xx .x", 6.0)),
	}
}

func belief(t testing.TB, level, sd float64) *ability.Posterior {
	b, err := ability.NewPosterior(ability.Prior{Level: level, LevelSD: sd})
	require.NoError(t, err)
	return b
}

func choose(t testing.TB, r Request) *Openers {
	if r.Pieces == nil {
		r.Pieces = quayside()
	}
	o, err := Choose(r)
	require.NoError(t, err)
	return o
}

func TestMainChoiceIsTheHardestSureEnough(t *testing.T) {
	at := belief(t, 5, 0.3)
	o := choose(t, Request{Belief: at})
	assert.GreaterOrEqual(t, o.Main.Chance, words.Rounded(usualSure))
	for _, p := range quayside() {
		chance := at.ChanceManaged(p.Difficulty, p.SD, ability.DefaultComfort)
		if p.Difficulty > o.Main.Difficulty {
			assert.Less(t, chance, usualSure, "%s is harder and sure enough", p.ID)
		}
	}
	require.NotNil(t, o.Safe)
	require.NotNil(t, o.Stretch)
	assert.Less(t, o.Safe.Difficulty, o.Main.Difficulty)
	assert.GreaterOrEqual(t, o.Safe.Chance, safeChance)
	assert.Greater(t, o.Stretch.Difficulty, o.Main.Difficulty)
	assert.Less(t, o.Stretch.Chance, o.Main.Chance)
}

func TestStrongerGroupsNeverGetEasierMainChoices(t *testing.T) {
	before := 0.0
	for level := 0.0; level <= 9; level += 0.5 {
		o := choose(t, Request{Belief: belief(t, level, 0.4)})
		if o.Main == nil {
			assert.Zero(t, before, "level %g", level)
			continue
		}
		assert.GreaterOrEqual(t, o.Main.Difficulty, before, "level %g", level)
		before = o.Main.Difficulty
	}
	assert.Equal(t, 6.0, before, "a strong group gets the hardest piece")
}

func TestHigherComfortNeverGivesHarderMainChoice(t *testing.T) {
	before := 99.0
	for _, comfort := range []float64{0.3, 0.5, 0.7, 0.9} {
		o := choose(t, Request{Belief: belief(t, 4.5, 0.3), Comfort: comfort})
		assert.LessOrEqual(t, o.Main.Difficulty, before, "comfort %g", comfort)
		before = o.Main.Difficulty
	}
}

func TestNamedTierIsNotExceededByTheMainChoice(t *testing.T) {
	for tier, want := range map[int]string{
		1: "bollard", 2: "halyard", 3: "slack-tide",
		4: "bowline", 5: "bowline", 6: "gale",
	} {
		o := choose(t, Request{Tier: tier})
		assert.Equal(t, want, o.Main.Piece, "tier %d", tier)
		if o.Stretch != nil {
			assert.Greater(t, o.Stretch.Tier, tier)
		}
	}
}

func TestTheLikeliestPieceIsMainWhereNoneIsSureAndSaysThatItIsARisk(t *testing.T) {
	risky := 0
	for level := -2.0; level < 4; level += 0.1 {
		o := choose(t, Request{Belief: belief(t, level, 0.4)})
		if o.Main == nil || o.Main.Chance >= words.Rounded(usualSure) {
			continue
		}
		risky++
		assert.Equal(t, "bollard", o.Main.Piece)
		assert.GreaterOrEqual(t, o.Main.Chance, leastChance)
		assert.Contains(t, o.Main.Why, "a risk")
		assert.Nil(t, o.Safe, "nothing is easier")
	}
	assert.Positive(t, risky)
}

func TestEveryChoiceWithSomethingEasierHasAFallback(t *testing.T) {
	o := choose(t, Request{Belief: belief(t, 5, 0.4)})
	for _, c := range []*Choice{o.Main, o.Stretch} {
		f, ok := o.Fallback(c.Role)
		require.True(t, ok, "%s", c.Piece)
		assert.Equal(t, c.Piece, f.Piece)
		assert.LessOrEqual(t, f.Difficulty, c.Difficulty-easierBy)
		assert.GreaterOrEqual(t, f.Chance, c.Chance)
	}
	stretch, _ := o.Fallback(Stretch)
	assert.Equal(t, "loop", stretch.Part, "a part of the piece comes before a variant of it")
}

func TestPieceWithoutEasierPartFallsBackToASimplerVariant(t *testing.T) {
	o := choose(t, Request{Tier: 6})
	require.Equal(t, "gale", o.Main.Piece)
	f, ok := o.Fallback(Main)
	require.True(t, ok)
	assert.False(t, f.Phrase.IsZero())
	assert.False(t, f.Phrase.Equal(o.Main.Phrase) && f.Phrase.Tempo() == o.Main.Phrase.Tempo())
	assert.Less(t, f.Difficulty, o.Main.Difficulty)
}

func TestVariantsKeepTheMetreAndEndInPlainBeats(t *testing.T) {
	m := difficulty.DefaultModel()
	for _, e := range bank.Starter().Entries {
		found := variants(m, e.Phrase)
		require.NotEmpty(t, found, e.ID)
		for _, v := range found {
			assert.Equal(t, e.Phrase.Meter(), v.phrase.Meter(), "%s %s", e.ID, v.how)
			assert.InDelta(t, m.Difficulty(v.phrase), v.difficulty, 1e-9)
		}
		assert.True(t, isPlain(found[len(found)-1].phrase) || e.Phrase.Meter().Beats() == 1, e.ID)
	}
	assert.Empty(t, variants(m, rhythm.Phrase{}))
}

func TestSplitPairsASureSupportPartWithALeadPartEnoughCanCarry(t *testing.T) {
	room := belief(t, 4.5, 0.3)
	o := choose(t, Request{Belief: room, Split: true})
	require.Len(t, o.Split, 2)
	support, lead := o.Split[0], o.Split[1]
	assert.Equal(t, support.Piece, lead.Piece)
	assert.Equal(t, o.Main.Piece, support.Piece, "the main choice has both parts")
	assert.GreaterOrEqual(t, support.Chance, fallChance)
	assert.Greater(t, lead.Difficulty, support.Difficulty)
	assert.GreaterOrEqual(t, room.Share(lead.Difficulty), carriers)
	assert.InDelta(t, room.ChanceManaged(support.Difficulty, 0.5, ability.DefaultComfort),
		support.Chance, 0.0005)
	assert.InDelta(t, room.ChanceManaged(lead.Difficulty, 0.5, ability.DefaultComfort), lead.Chance, 0.0005)

	assert.Empty(t, choose(t, Request{Belief: room}).Split, "not asked for")
	assert.Empty(t, choose(t, Request{Belief: room, Split: true, Pieces: quayside()[:1]}).Split,
		"no second part")
}

func TestFilterKeepsWhatHasAllTagsAndNoneOfTheUnwanted(t *testing.T) {
	ids := func(f Filter) []string {
		kept, err := f.apply(quayside())
		require.NoError(t, err)
		var out []string
		for _, p := range kept {
			out = append(out, p.ID)
		}
		return out
	}
	assert.Equal(t, []string{"slack-tide", "bowline"}, ids(Filter{With: []string{"Sea", " body"}}))
	assert.Equal(t, []string{"bollard", "slack-tide", "bowline", "gale"},
		ids(Filter{Without: []string{"buckets"}}))
	assert.Equal(t, []string{"bollard", "halyard", "gale"},
		ids(Filter{Played: []string{"bowline", "slack-tide", "unknown"}}))
}

func TestFilterThatLeavesNothingSaysWhatToChange(t *testing.T) {
	for _, c := range []struct {
		filter Filter
		pieces []patterns.GradedPiece
		want   string
	}{
		{Filter{With: []string{"marimba"}}, quayside(), `no piece has the tag "marimba"; the tags in use are body, buckets, drums, sea, short`},
		{
			Filter{With: []string{"sea", "drums"}},
			quayside(),
			"none of the 5 pieces has the tags asked for and wasn't played last time; ask for fewer tags",
		},
		{
			Filter{Played: []string{"bollard"}},
			quayside()[:1],
			"all 1 pieces were played last time; leave some out of that list",
		},
		{Filter{}, nil, "the repertoire holds no piece to choose from; write at least one with a core part"},
		{
			Filter{},
			[]patterns.GradedPiece{{}},
			"the repertoire holds no piece to choose from; write at least one with a core part",
		},
	} {
		_, err := Choose(Request{Pieces: c.pieces, Tier: 3, Filter: c.filter})
		var none *NoPieceError
		require.ErrorAs(t, err, &none)
		assert.Equal(t, c.want, err.Error())
	}
}

func TestEarlierPieceWinsBetweenEquals(t *testing.T) {
	twice := quayside()[1:3]
	twin := twice[1]
	twin.ID = "twin"
	twice = append(twice, twin)
	assert.Equal(t, "slack-tide", choose(t, Request{Pieces: twice, Tier: 4}).Main.Piece)
}

func TestUnusableRequestsAreErrors(t *testing.T) {
	for _, r := range []Request{
		{}, {Tier: -1}, {Tier: 21}, {Tier: 3, Comfort: 1}, {Tier: 3, Comfort: -0.1},
	} {
		r.Pieces = quayside()
		_, err := Choose(r)
		assert.Error(t, err, "%+v", r)
	}
	_, err := AtLevel(99)
	assert.EqualError(t, err, "a level of 99 is not on the scale; give a number from -5 to 25")
}

func TestNamedTierIsTheComfortTierOfItsBelief(t *testing.T) {
	for tier := 1; tier <= 9; tier++ {
		for _, comfort := range []float64{0.5, 0.7, 0.9} {
			at, err := AtTier(tier, comfort)
			require.NoError(t, err)
			best, chance := 0, 0.0
			for i := range 13 {
				exactly := at.ChanceManaged(float64(i), 0, comfort) - at.ChanceManaged(float64(i+1), 0, comfort)
				if exactly > chance {
					best, chance = i, exactly
				}
			}
			assert.Equal(t, tier, best, "comfort %g", comfort)
			assert.Greater(t, chance, 0.6)
		}
	}
}

func TestNothingLiesBetweenMainChoiceAndStretch(t *testing.T) {
	for level := 1.0; level < 7; level += 0.5 {
		o := choose(t, Request{Belief: belief(t, level, 0.4)})
		if o.Main == nil || o.Stretch == nil {
			continue
		}
		for _, p := range quayside() {
			between := p.Difficulty > o.Main.Difficulty && p.Difficulty < o.Stretch.Difficulty
			assert.False(t, between, "level %g: %s lies between", level, p.ID)
		}
	}
}

func TestMoreSureIsNeverHarder(t *testing.T) {
	before := 99.0
	for _, sure := range []float64{0.5, 2.0 / 3, 0.8, 0.95} {
		o := choose(t, Request{Belief: belief(t, 4.5, 0.5), Sure: sure})
		assert.LessOrEqual(t, o.Main.Difficulty, before)
		before = o.Main.Difficulty
	}
}

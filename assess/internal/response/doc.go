// Package response looks closely at one answer of a group: how much of the group clapped each note,
// where, how tightly, what was clapped beside the phrase, and which of the usual mistakes that adds
// up to.
//
// # How much of the group
//
// Claps of different people add as power, so the energy that belongs to a note is proportional to
// the number of people who clapped it. The power of the clap band is explained as a sum of bursts
// on the slots of the phrase, each of the same shape (people's spread, the clap itself, the room's
// tail), with amplitudes that cannot be negative ([Measure]). Slots are the notes and the divisions
// of the beat that people slip to; where energy is left over, one more is put there; within a tenth
// of a second of a note it holds hands that were late or early for that note. Stamps and pats are
// measured with the low band, claps without it. Energy, not peaks: a looser clap has a lower peak
// with the same number of hands.
//
// Energies become participation when divided by what the whole group gives, which is calibrated
// inside the recording ([Calibrate]). What each sound of a phrase gives is calibrated apart: a
// stamp is not a clap.
//
// Low participation is not low ability: soft, seated or one-handed clapping is heard as less.
//
// Where one person answers, there is nothing to share: the strokes are laid on the notes one by one
// ([Heard.Solo]).
//
// Times are seconds from the start of the recording. Nothing here is about one person of a group.
package response

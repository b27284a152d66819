/* clapladder.h - the scorer of call-and-response warm-ups as a C library.
 *
 * Every function returns one JSON object as a string in UTF-8 that ends in a zero byte. It belongs to the caller, who gives it
 * back with clapladder_free. What goes wrong is in the object: {"error":{"kind":"...","message":"..."}}, where kind is "options",
 * "bank", "recording" or "failed"; no function returns NULL or ends the program. What is passed in is only read during the call.
 * All functions may be called from several threads at once.
 */
#ifndef CLAPLADDER_H
#define CLAPLADDER_H

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Listens to a recording held in memory and returns {"report":...} as assess/report.schema.json describes it. options is NULL or a
 * JSON object, all of whose members may be left out:
 *   bank        text of a bank, TOML or CSV; otherwise the starter bank
 *   repertoire  text of a repertoire; otherwise the starter repertoire
 *   comfort     share of the group that should manage a tier, 0.5 to 0.95; otherwise 0.7
 *   people      how many took part
 *   tempo_bpm   beats a minute that all calls kept, 20 to 400
 *   order       IDs of the phrases in the order called
 *   taps        true where the bytes are a table of onset times or a MIDI file instead of sound
 */
char *clapladder_score(const void *data, size_t length, const char *options);

/* Grades a bank, TOML or CSV, and returns {"phrases":[{"id":...,"tier":...,"difficulty":...},...]} in the bank's order; the starter
 * bank where length is 0. */
char *clapladder_grade(const void *bank, size_t length);

/* Returns {"version":...,"report_schema":...}. Results of two versions need not be comparable. */
char *clapladder_version(void);

/* Gives back a string that another function returned. NULL is allowed. */
void clapladder_free(char *text);

#ifdef __cplusplus
}
#endif

#endif

/* What the board knows of its own past: why it started, its boot id, and which sensors it has seen. */
#ifndef BOOT_H
#define BOOT_H

#include <stdint.h>

/* For the hello: "power-on", "brown-out", "external", "watchdog", "unknown". */
const char *boot_cause(void);

/* Draws the boot id of this start and keeps it, so that the next one differs. Takes 3 ms; once a start. */
uint16_t boot_id(void);

/* Sensors that answered once, a bit each, kept over resets: a pulled cable must be told after a reset too. */
uint8_t boot_fitted(void);
void boot_note_fitted(uint8_t mask);

#endif

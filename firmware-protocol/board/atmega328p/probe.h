/* A DS18B20 alone on its own 1-Wire line, powered (not parasitic), at 12 bits. `line` is its pin of port D as a mask. */
#ifndef PROBE_H
#define PROBE_H

#include <stdint.h>

#include "../sensors.h"

/* From the command to the result: 750 ms at most, by the data sheet. */
#define PROBE_MS 760

/* Starts a conversion. False: nobody is there. */
uint8_t probe_ask(uint8_t line);

/* PROBE_MS later. OUTCOME_STUCK: the conversion does not end. */
struct datum probe_read(uint8_t line);

#endif

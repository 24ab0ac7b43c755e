/* The bridge ADC (HX711 class, gain 128): sums up its conversions while it is listened to, until it is asked. */
#ifndef BRIDGE_H
#define BRIDGE_H

#include <stdint.h>

#include "../sensors.h"

void bridge_start(void);

/* Whether conversions are wanted now: over a minute's interval the mean of the minute would be half a minute old. */
void bridge_listen(uint8_t on);
#define BRIDGE_LISTEN_MS 2000

/* A conversion that is wanted waits to be fetched. */
uint8_t bridge_is_ready(void);

/* Fetches it; only when it is ready. */
void bridge_take(uint32_t now_ms);

/*
 * The mean since the last call, as grams times 100. OUTCOME_NOTHING: no conversion has come yet, but it is not overdue.
 * OUTCOME_NACK: overdue.
 */
struct datum bridge_read(uint32_t now_ms);

#endif

#include "bridge.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/delay.h>

#include "board.h"

#define LARGEST INT32_C(0x7FFFFF)
#define SMALLEST (-INT32_C(0x800000))
/* 255 conversions of 24 bits are the most whose sum fits: 3 s at 80 a second. */
#define MOST_SUMMED 255
/* 24 bits that stand still this often are no scale: a quiet cell moves in its last 8. */
#define STUCK_REPEATS 100
/* Conversions come every 100 ms, after a power-on in 400 ms. */
#define OVERDUE_MS 1000

static int32_t sum;
static uint8_t summed;
static uint8_t saturated;
static int32_t before;
static uint8_t repeats;
static uint32_t heard_ms;

/* Only to be woken when the data pin falls. */
EMPTY_INTERRUPT(PCINT2_vect)

void bridge_start(void) {
  DDRD |= _BV(BRIDGE_CLOCK_PIN);
  /* An open data pin reads high: not ready, for ever. */
  PORTD |= _BV(BRIDGE_DATA_PIN);
  PCICR = _BV(PCIE2);
}

void bridge_listen(uint8_t on) { PCMSK2 = on ? _BV(BRIDGE_DATA_PIN) : 0; }

uint8_t bridge_is_ready(void) { return PCMSK2 != 0 && (PIND & _BV(BRIDGE_DATA_PIN)) == 0; }

static uint8_t clock_bit(void) {
  /* 60 µs high would switch it off: no interrupt may come between. */
  cli();
  PORTD |= _BV(BRIDGE_CLOCK_PIN);
  _delay_us(1);
  const uint8_t bit = (PIND & _BV(BRIDGE_DATA_PIN)) != 0;
  PORTD &= (uint8_t)~_BV(BRIDGE_CLOCK_PIN);
  sei();
  return bit;
}

void bridge_take(uint32_t now_ms) {
  uint32_t bits = 0;
  for (uint8_t i = 0; i < 24; i++) bits = bits << 1 | clock_bit();
  /* The 25th pulse asks for gain 128 next time. */
  clock_bit();
  const int32_t counts = bits & UINT32_C(0x800000) ? (int32_t)(bits | UINT32_C(0xFF000000)) : (int32_t)bits;
  heard_ms = now_ms;
  repeats = counts != before ? 0 : repeats < STUCK_REPEATS ? repeats + 1 : repeats;
  before = counts;
  if (counts == LARGEST || counts == SMALLEST) saturated = 1;
  if (summed < MOST_SUMMED) {
    sum += counts;
    summed++;
  }
}

struct datum bridge_read(uint32_t now_ms) {
  struct datum datum = {0, OUTCOME_GOOD};
  if (summed == 0)
    datum.outcome = now_ms - heard_ms >= OVERDUE_MS ? OUTCOME_NACK : OUTCOME_NOTHING;
  else if (saturated)
    datum.outcome = OUTCOME_RANGE;
  else if (repeats >= STUCK_REPEATS)
    datum.outcome = OUTCOME_STUCK;
  else
    datum.scaled = cell_grams_x100(sum, summed);
  sum = 0;
  summed = 0;
  saturated = 0;
  return datum;
}

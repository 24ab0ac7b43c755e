#include "probe.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/delay.h>

#define SKIP_ROM 0xCC
#define CONVERT 0x44
#define WRITE_SCRATCHPAD 0x4E
#define READ_SCRATCHPAD 0xBE
#define SCRATCHPAD_BYTES 9

/* The bus is pulled up from outside: a pin only ever pulls it low or lets it go. */
static void pull(uint8_t line) { DDRD |= line; }
static void let_go(uint8_t line) { DDRD &= (uint8_t)~line; }
static uint8_t is_high(uint8_t line) { return (PIND & line) != 0; }

/* Reset and presence: true if somebody answers on a line that was free. */
static uint8_t reset(uint8_t line) {
  let_go(line);
  PORTD &= (uint8_t)~line;
  _delay_us(10);
  if (!is_high(line)) return 0;
  pull(line);
  _delay_us(500);
  cli();
  let_go(line);
  _delay_us(70);
  const uint8_t present = !is_high(line);
  sei();
  _delay_us(420);
  return present && is_high(line);
}

static void write_bit(uint8_t line, uint8_t bit) {
  if (bit) {
    /* Less than 15 µs low is a one: no interrupt may come between. */
    cli();
    pull(line);
    _delay_us(6);
    let_go(line);
    sei();
    _delay_us(64);
  } else {
    pull(line);
    _delay_us(65);
    let_go(line);
    _delay_us(5);
  }
}

static uint8_t read_bit(uint8_t line) {
  cli();
  pull(line);
  _delay_us(4);
  let_go(line);
  _delay_us(8);
  const uint8_t bit = is_high(line);
  sei();
  _delay_us(55);
  return bit;
}

static void write(uint8_t line, uint8_t byte) {
  for (uint8_t i = 0; i < 8; i++, byte >>= 1) write_bit(line, byte & 1);
}

static uint8_t read(uint8_t line) {
  uint8_t byte = 0;
  for (uint8_t i = 0; i < 8; i++) byte = (uint8_t)(byte >> 1 | (read_bit(line) ? 0x80 : 0));
  return byte;
}

uint8_t probe_ask(uint8_t line) {
  if (!reset(line)) return 0;
  write(line, SKIP_ROM);
  write(line, WRITE_SCRATCHPAD);
  write(line, PROBE_MARK_HIGH);
  write(line, PROBE_MARK_LOW);
  write(line, PROBE_CONFIG);
  if (!reset(line)) return 0;
  write(line, SKIP_ROM);
  write(line, CONVERT);
  return 1;
}

struct datum probe_read(uint8_t line) {
  struct datum datum = {0, OUTCOME_STUCK};
  /* While it converts, a powered probe answers read slots with noughts. */
  if (!read_bit(line)) {
    /* So does a line that is shorted, or a probe that was put back: those do not pass a reset. */
    if (!reset(line)) datum.outcome = OUTCOME_NACK;
    return datum;
  }
  if (!reset(line)) {
    datum.outcome = OUTCOME_NACK;
    return datum;
  }
  write(line, SKIP_ROM);
  write(line, READ_SCRATCHPAD);
  uint8_t scratchpad[SCRATCHPAD_BYTES];
  for (uint8_t i = 0; i < SCRATCHPAD_BYTES; i++) scratchpad[i] = read(line);
  return probe_from(scratchpad);
}

#include "boot.h"

#include <avr/eeprom.h>
#include <avr/io.h>
#include <avr/wdt.h>
#include <util/delay.h>

#include "../ld1.h"
#include "board.h"

/* Lasting memory: the last boot id, and the sensors seen, inverted, so that erased memory means none. */
#define BOOT_ID_CELL ((uint16_t *)0)
#define FITTED_CELL ((uint8_t *)2)
/* Conversions whose last bits are taken, and bytes of memory that power-on left as they fell. */
#define NOISE_CONVERSIONS 16
#define NOISE_BYTES 64

extern uint8_t __heap_start;

static uint8_t cause __attribute__((section(".noinit")));
static uint8_t boot_loader_cause __attribute__((section(".noinit")));

/* Boot loaders clear the reset flags and hand them on in register 2 (common practice; a plain start leaves it unused). */
__attribute__((naked, used, section(".init0"))) static void keep_boot_loader_cause(void) {
  __asm__ volatile("sts %0, r2" : : "i"(&boot_loader_cause));
}

/* Before anything else: after its own reset the watchdog runs on, at its shortest. */
__attribute__((naked, used, section(".init3"))) static void keep_cause(void) {
  cause = MCUSR & 0x0F;
  if (cause == 0) cause = boot_loader_cause & 0x0F;
  MCUSR = 0;
  wdt_disable();
}

const char *boot_cause(void) {
  /* A power-on sets the brown-out flag too; the flags of causes further down are older. */
  if (cause & _BV(PORF)) return "power-on";
  if (cause & _BV(BORF)) return "brown-out";
  if (cause & _BV(WDRF)) return "watchdog";
  if (cause & _BV(EXTRF)) return "external";
  return "unknown";
}

static uint16_t draw_noise(void) {
  uint16_t noise = LD1_CRC_START;
  for (uint8_t i = 0; i < NOISE_BYTES; i++) noise = ld1_crc(noise, (&__heap_start)[i]);
  /* The chip's own temperature against 1.1 V: its last bits are noise. */
  ADMUX = _BV(REFS1) | _BV(REFS0) | _BV(MUX3);
  ADCSRA = _BV(ADEN) | _BV(ADPS2) | _BV(ADPS1) | _BV(ADPS0);
  for (uint8_t i = 0; i < NOISE_CONVERSIONS; i++) {
    ADCSRA |= _BV(ADSC);
    while (ADCSRA & _BV(ADSC)) {
    }
    noise = ld1_crc(noise, ADCL);
    noise = ld1_crc(noise, ADCH);
  }
  ADCSRA = 0;
  return noise;
}

uint16_t boot_id(void) {
  const uint16_t id = ld1_next_boot(eeprom_read_word(BOOT_ID_CELL), draw_noise());
  eeprom_update_word(BOOT_ID_CELL, id);
  return id;
}

uint8_t boot_fitted(void) {
  PORTD |= _BV(FORGET_PIN);
  _delay_us(50);
  if (PIND & _BV(FORGET_PIN)) return (uint8_t)~eeprom_read_byte(FITTED_CELL);
  eeprom_update_byte(FITTED_CELL, 0xFF);
  return 0;
}

void boot_note_fitted(uint8_t mask) { eeprom_update_byte(FITTED_CELL, (uint8_t)~mask); }

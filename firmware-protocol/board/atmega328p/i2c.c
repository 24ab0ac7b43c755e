#include "i2c.h"

#include <avr/io.h>
#include <util/delay.h>
#include <util/twi.h>

#define SDA_PIN 4
#define SCL_PIN 5
/* 16 MHz / (16 + 2 · 72) = 100 kHz */
#define BIT_RATE 72
/* Looks this far apart, and 1 ms of them in all: ten times a byte at 100 kHz. */
#define LOOK_US 10
#define LOOKS 100

/* Clocks out whatever a slave was in the middle of, as the bus specification advises, and lets the bus go. */
static void clear_bus(void) {
  TWCR = 0;
  PORTC &= (uint8_t)~_BV(SCL_PIN);
  for (uint8_t i = 0; i < 9; i++) {
    DDRC |= _BV(SCL_PIN);
    _delay_us(5);
    DDRC &= (uint8_t)~_BV(SCL_PIN);
    _delay_us(5);
  }
  PORTC |= _BV(SDA_PIN) | _BV(SCL_PIN);
}

static uint8_t await(uint8_t bit, uint8_t value) {
  for (uint8_t left = LOOKS; left > 0; left--) {
    if (((TWCR & _BV(bit)) != 0) == value) return 1;
    _delay_us(LOOK_US);
  }
  clear_bus();
  return 0;
}

/* One step of the bus, and whether it ended as wished. */
static uint8_t step(uint8_t control, uint8_t wished) {
  TWCR = control | _BV(TWINT) | _BV(TWEN);
  return await(TWINT, 1) && TW_STATUS == wished;
}

static uint8_t begin(uint8_t address_and_way, uint8_t wished) {
  if (!step(_BV(TWSTA), TW_START)) return 0;
  TWDR = address_and_way;
  return step(0, wished);
}

static void stop(void) {
  TWCR = _BV(TWSTO) | _BV(TWINT) | _BV(TWEN);
  await(TWSTO, 0);
}

void i2c_start(void) {
  /* Weak, only so that the lines do not float without the real pull-ups. */
  PORTC |= _BV(SDA_PIN) | _BV(SCL_PIN);
  TWBR = BIT_RATE;
}

uint8_t i2c_write(uint8_t address, const uint8_t *bytes, uint8_t count) {
  uint8_t done = begin((uint8_t)(address << 1 | TW_WRITE), TW_MT_SLA_ACK);
  for (; done && count > 0; count--) {
    TWDR = *bytes++;
    done = step(0, TW_MT_DATA_ACK);
  }
  stop();
  return done;
}

uint8_t i2c_read(uint8_t address, uint8_t *bytes, uint8_t count) {
  uint8_t done = begin((uint8_t)(address << 1 | TW_READ), TW_MR_SLA_ACK);
  for (; done && count > 0; count--) {
    done = count > 1 ? step(_BV(TWEA), TW_MR_DATA_ACK) : step(0, TW_MR_DATA_NACK);
    *bytes++ = TWDR;
  }
  stop();
  return done;
}

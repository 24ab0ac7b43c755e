/* The I2C bus at 100 kHz, polled. Nothing on the bus can hold the board up: every wait has an end. */
#ifndef I2C_H
#define I2C_H

#include <stdint.h>

void i2c_start(void);

/* Whole transfers with start and stop. False: not acknowledged, or the bus hung and was cleared. */
uint8_t i2c_write(uint8_t address, const uint8_t *bytes, uint8_t count);
uint8_t i2c_read(uint8_t address, uint8_t *bytes, uint8_t count);

#endif

/* The line to the host, with a ring of bytes each way. */
#ifndef UART_H
#define UART_H

#include <stdint.h>

void uart_start(void);

/* Waits, asleep, where the ring is full. */
void uart_send(const char *bytes, uint16_t count);

uint8_t uart_has_heard(void);

/* The next byte from the host; only after uart_has_heard. */
char uart_take(void);

#endif

#include "uart.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>

/* 16 MHz / (8 · 17) = 117,647 baud: 2.1 % fast, which 8N1 bears, and the nearest to be had from 16 MHz. */
#define BAUD_DIVIDER 16
/* Two of the longest lines, so that a round is handed over without waiting; indices wrap by themselves. */
#define OUT_BYTES 256
/* Some commands' worth; what does not fit is lost, as on any UART. */
#define IN_BYTES 32

static char out[OUT_BYTES];
static volatile uint8_t out_next, out_free;
static char in[IN_BYTES];
static volatile uint8_t in_next, in_free;

ISR(USART_UDRE_vect) {
  if (out_next == out_free)
    UCSR0B &= (uint8_t)~_BV(UDRIE0);
  else
    UDR0 = (uint8_t)out[out_next++];
}

ISR(USART_RX_vect) {
  const char byte = (char)UDR0;
  const uint8_t after = (in_free + 1) % IN_BYTES;
  if (after == in_next) return;
  in[in_free] = byte;
  in_free = after;
}

void uart_start(void) {
  UBRR0 = BAUD_DIVIDER;
  UCSR0A = _BV(U2X0);
  UCSR0C = _BV(UCSZ01) | _BV(UCSZ00);
  UCSR0B = _BV(RXEN0) | _BV(TXEN0) | _BV(RXCIE0);
}

void uart_send(const char *bytes, uint16_t count) {
  for (; count > 0; count--) {
    for (;;) {
      cli();
      if ((uint8_t)(out_free + 1) != out_next) break;
      sei();
      sleep_cpu();
    }
    out[out_free++] = *bytes++;
    UCSR0B |= _BV(UDRIE0);
    sei();
  }
}

uint8_t uart_has_heard(void) { return in_next != in_free; }

char uart_take(void) {
  const char byte = in[in_next];
  in_next = (in_next + 1) % IN_BYTES;
  return byte;
}

// How far the device's clock is from the register's. Measured at every exchange; the register puts times right by it.

// A jump of the clock, or a sleep of the phone, that makes the last measure worth nothing.
const JUMP_MS = 30_000;

export class RegisterClock {
  #offsetMs = null;
  #steady = 0;

  /** Learn from one exchange: sent and answered by the device's clock, received by the register's (ISO 8601). */
  measure(sentMs, answeredMs, receivedAt) {
    const receivedMs = Date.parse(receivedAt ?? "");
    if (Number.isNaN(receivedMs)) return;
    this.#offsetMs = Math.round(receivedMs - (sentMs + answeredMs) / 2);
    this.#steady = Date.now() - performance.now();
  }

  /** Milliseconds to add to the device's clock; null where it was not measured, or may have been set since. */
  get offsetMs() {
    const moved = Math.abs(Date.now() - performance.now() - this.#steady);
    return this.#offsetMs !== null && moved < JUMP_MS ? this.#offsetMs : null;
  }
}

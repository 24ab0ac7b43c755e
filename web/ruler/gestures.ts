/**
 * Hands on the plate. A mouse points to read and drags to move; one finger reads on the lanes and moves the ruler, two
 * fingers zoom; the wheel zooms over the ruler, or anywhere with Ctrl, and a sideways wheel moves. A plain wheel over
 * the lanes is left to the page.
 */
export interface GestureTarget {
  /** Is this height (px from the surface's top) on the ruler itself? */
  onRuler(yPx: number): boolean;
  /** Reads another time: share of the width from the left, or null for now. */
  read(share: number | null): void;
  /** Moves the window; positive is later. */
  pan(share: number): void;
  zoom(factor: number, aboutShare: number): void;
}

/** A hand that moved less than this has pressed, not dragged. */
const DRAG_PX = 4;
const ZOOM_PER_WHEEL_PX = 0.0018;

export function listenToHands(surface: HTMLElement, target: GestureTarget): () => void {
  const fingers = new Map<number, { x: number; y: number }>();
  let dragging = false;
  let pressedAt: { x: number; moves: boolean } | null = null;

  const inside = (event: PointerEvent | WheelEvent | MouseEvent) => {
    const box = surface.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top, width: Math.max(1, box.width) };
  };
  const spread = (): { distance: number; middle: number } => {
    const [a, b] = [...fingers.values()];
    return a && b
      ? { distance: Math.max(12, Math.abs(a.x - b.x)), middle: (a.x + b.x) / 2 }
      : { distance: 1, middle: 0 };
  };

  const down = (event: PointerEvent): void => {
    if (event.pointerType === 'mouse' && event.button !== 0) return;
    const at = inside(event);
    fingers.set(event.pointerId, at);
    pressedAt = { x: at.x, moves: event.pointerType === 'mouse' || target.onRuler(at.y) };
    surface.setPointerCapture(event.pointerId);
    if (!pressedAt.moves && fingers.size === 1) target.read(at.x / at.width);
  };

  const move = (event: PointerEvent): void => {
    const at = inside(event);
    const before = fingers.get(event.pointerId);
    if (!before) {
      if (event.pointerType === 'mouse') target.read(at.x / at.width);
      return;
    }
    if (fingers.size === 2) {
      const old = spread();
      fingers.set(event.pointerId, at);
      const now = spread();
      target.pan((old.middle - now.middle) / at.width);
      target.zoom(old.distance / now.distance, now.middle / at.width);
      return;
    }
    if (!pressedAt?.moves) {
      fingers.set(event.pointerId, at);
      target.read(at.x / at.width);
      return;
    }
    if (!dragging && Math.abs(at.x - pressedAt.x) < DRAG_PX) return;
    if (!dragging) target.read(null);
    dragging = true;
    surface.classList.add('dragging');
    fingers.set(event.pointerId, at);
    target.pan((before.x - at.x) / at.width);
  };

  const up = (event: PointerEvent): void => {
    fingers.delete(event.pointerId);
    dragging = false;
    surface.classList.remove('dragging');
    if (fingers.size === 0) pressedAt = null;
  };

  const leave = (event: PointerEvent): void => {
    if (event.pointerType === 'mouse' && fingers.size === 0) target.read(null);
  };

  const wheel = (event: WheelEvent): void => {
    const at = inside(event);
    const sideways = Math.abs(event.deltaX) > Math.abs(event.deltaY);
    if (sideways) target.pan(event.deltaX / at.width);
    else if (event.ctrlKey || target.onRuler(at.y))
      target.zoom(Math.exp(event.deltaY * ZOOM_PER_WHEEL_PX), at.x / at.width);
    else return;
    event.preventDefault();
  };

  const twice = (event: MouseEvent): void => {
    const at = inside(event);
    target.zoom(0.5, at.x / at.width);
  };

  surface.addEventListener('pointerdown', down);
  surface.addEventListener('pointermove', move);
  surface.addEventListener('pointerup', up);
  surface.addEventListener('pointercancel', up);
  surface.addEventListener('pointerleave', leave);
  surface.addEventListener('wheel', wheel, { passive: false });
  surface.addEventListener('dblclick', twice);
  return () => {
    surface.removeEventListener('pointerdown', down);
    surface.removeEventListener('pointermove', move);
    surface.removeEventListener('pointerup', up);
    surface.removeEventListener('pointercancel', up);
    surface.removeEventListener('pointerleave', leave);
    surface.removeEventListener('wheel', wheel);
    surface.removeEventListener('dblclick', twice);
  };
}

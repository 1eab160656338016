/**
 * The sound card's inputs and outputs, by the names that the browser tells.
 */

/** An input or output to choose from. */
export interface Device {
  readonly id: string;
  /** Empty until the microphone was allowed once. */
  readonly label: string;
}

/** The inputs or outputs there are. */
export async function listDevices(kind: 'audioinput' | 'audiooutput'): Promise<Device[]> {
  // A page that is not served safely has no devices at all.
  const { mediaDevices } = navigator as { mediaDevices?: MediaDevices };
  if (!mediaDevices) return [];
  const devices = await mediaDevices.enumerateDevices();
  return devices
    .filter((device) => device.kind === kind && device.deviceId !== '' && device.deviceId !== 'default')
    .map(({ deviceId, label }) => ({ id: deviceId, label }));
}

/**
 * Choices for a select: the browser's own first.
 *
 * @param chosen - id of the one that was chosen, though it may be there no more
 */
export function deviceChoices(
  devices: readonly Device[],
  word: string,
  chosen: string,
): { value: string; text: string }[] {
  const isGone = chosen !== '' && !devices.some(({ id }) => id === chosen);
  return [
    { value: '', text: 'The browser’s choice' },
    ...(isGone ? [{ value: chosen, text: `The ${word.toLowerCase()} chosen before` }] : []),
    ...devices.map(({ id, label }, i) => ({ value: id, text: label === '' ? `${word} ${i + 1}` : label })),
  ];
}

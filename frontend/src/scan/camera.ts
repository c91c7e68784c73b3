/** The camera on the phone's back, its light, and why there is none. */
export type NoCamera = "refused" | "none" | "busy" | "insecure";

export interface Camera {
  readonly stream: MediaStream;
  /** Turns the light on or off; null where this camera has none. */
  readonly light: ((on: boolean) => Promise<void>) | null;
  readonly stop: () => void;
}

/** Large enough that the smallest module of a label has three pixels at a hand's distance. */
const PICTURE: MediaTrackConstraints = {
  facingMode: { ideal: "environment" },
  width: { ideal: 1920 },
  height: { ideal: 1080 },
};

export async function openCamera(): Promise<Camera | NoCamera> {
  // Over plain http the browser hides the camera, whatever its types say.
  const devices = (navigator as { mediaDevices?: MediaDevices }).mediaDevices;
  if (!devices) return isSecureContext ? "none" : "insecure";
  try {
    return cameraOf(await devices.getUserMedia({ video: PICTURE, audio: false }));
  } catch (trouble) {
    return why(trouble);
  }
}

function cameraOf(stream: MediaStream): Camera {
  const [track] = stream.getVideoTracks();
  const torch = track && canLight(track) ? track : null;
  return {
    stream,
    light:
      torch &&
      (async (on) => {
        const light = { torch: on } as MediaTrackConstraintSet;
        await torch.applyConstraints({ advanced: [light] });
      }),
    stop: () => {
      stream.getTracks().forEach((one) => {
        one.stop();
      });
    },
  };
}

/** Not every browser tells what its camera can. */
function canLight(track: MediaStreamTrack): boolean {
  const told = track as unknown as { getCapabilities?: () => { torch?: boolean } };
  return told.getCapabilities?.().torch === true;
}

function why(trouble: unknown): NoCamera {
  const name = trouble instanceof DOMException ? trouble.name : "";
  if (name === "NotAllowedError" || name === "SecurityError") return "refused";
  if (name === "NotReadableError" || name === "AbortError") return "busy";
  return "none";
}

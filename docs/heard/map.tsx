/**
 * A chart of the positions and areas that calls carry; the land comes with the page.
 */
import { geoEquirectangular, geoGraticule10, geoPath, type GeoGeometryObjects } from 'd3-geo';
import { useMemo, useState } from 'preact/hooks';
import { feature } from 'topojson-client';
import type { GeometryCollection, Topology } from 'topojson-specification';
import land from 'world-atlas/land-110m.json';
import { isDistress, moment, type Call, type Ring } from './data.js';

type Polygon = Extract<GeoGeometryObjects, { type: 'Polygon' }>;

const WIDTH = 960;
const HEIGHT = 480;
const WORLD = land as unknown as Topology<{ land: GeometryCollection }>;

/** Degrees between two points of a side: between them the sphere has great circles, an area has parallels. */
const STEP = 1;

/** A ring with its corners and points between them, clockwise, as d3 takes a polygon on the sphere. */
function polygon(ring: Ring): Polygon {
  const points = ring.slice(1).flatMap(([x, y], i) => {
    const [fromX, fromY] = ring[i];
    const steps = Math.max(1, Math.ceil(Math.max(Math.abs(x - fromX), Math.abs(y - fromY)) / STEP));
    return Array.from({ length: steps }, (_, n) => [
      fromX + ((x - fromX) * n) / steps,
      fromY + ((y - fromY) * n) / steps,
    ]);
  });
  return { type: 'Polygon', coordinates: [[...points, points[0]].reverse()] };
}

type Point = readonly [number, number];

/** The middle and the span of places, so that they fill the chart and no more than is sensible. */
function frameOf(points: readonly Point[]): { centre: Point; scale: number } {
  const whole = { centre: [0, 0] as Point, scale: WIDTH / (2 * Math.PI) };
  if (points.length === 0) return whole;
  const [longitudes, latitudes] = [points.map(([x]) => x), points.map(([, y]) => y)];
  const [west, east] = [Math.min(...longitudes), Math.max(...longitudes)];
  const [south, north] = [Math.min(...latitudes), Math.max(...latitudes)];
  const degrees = Math.max(30, 1.4 * (east - west), 2.8 * (north - south));
  return {
    centre: [(west + east) / 2, (south + north) / 2],
    scale: Math.max(whole.scale, whole.scale * (360 / degrees)),
  };
}

export function MapView({ places }: { places: readonly Call[] }) {
  const [isWorld, setWorld] = useState(false);
  const [chosen, setChosen] = useState<number>();
  const points = useMemo(
    () =>
      places.flatMap(({ position, area }) => [
        ...(position ? [[position.longitude, position.latitude] as Point] : []),
        ...(area ?? []).flat(),
      ]),
    [places],
  );
  const { centre, scale } = frameOf(isWorld ? [] : points);
  const projection = geoEquirectangular()
    .scale(scale)
    .rotate([-centre[0], 0])
    .center([0, centre[1]])
    .translate([WIDTH / 2, HEIGHT / 2])
    .clipExtent([
      [0, 0],
      [WIDTH, HEIGHT],
    ]);
  const path = geoPath(projection);
  const shown = places.find(({ id }) => id === chosen);
  return (
    <>
      <figure class="chart">
        <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="group" aria-label="Chart of positions and areas">
          <rect class="sea" width={WIDTH} height={HEIGHT} />
          <path class="graticule" d={path(geoGraticule10()) ?? ''} />
          <path class="land" d={path(feature(WORLD, WORLD.objects.land)) ?? ''} />
          {places.flatMap((call) =>
            (call.area ?? []).map((ring, i) => (
              <path key={`${call.id} ${i}`} class="area" d={path(polygon(ring)) ?? ''} />
            )),
          )}
          {places.map((call) => {
            const at = call.position && projection([call.position.longitude, call.position.latitude]);
            if (!at || at[0] < 0 || at[0] > WIDTH || at[1] < 0 || at[1] > HEIGHT) return null;
            const choose = () => {
              setChosen(call.id);
            };
            return (
              <g
                key={call.id}
                class={`place ${isDistress(call) ? 'distress' : ''} ${call.quality ?? ''} ${call.id === chosen ? 'chosen' : ''}`}
                transform={`translate(${at[0].toFixed(1)} ${at[1].toFixed(1)})`}
                role="button"
                tabindex={0}
                aria-label={call.text}
                onClick={choose}
                onKeyDown={(event) => {
                  if (event.key !== 'Enter' && event.key !== ' ') return;
                  event.preventDefault();
                  choose();
                }}
              >
                <circle r="12" class="touch" />
                <circle r="5" />
              </g>
            );
          })}
        </svg>
        <figcaption aria-live="polite">
          {shown ? (
            <>
              <strong>{shown.timeSource === 'decoded' ? 'time not known' : moment(shown.time)}</strong>{' '}
              {shown.quality === 'doubtful' && 'Doubtful, it may be wrong: '}
              {shown.text}
            </>
          ) : places.length === 0 ? (
            'No call with a position or an area was heard.'
          ) : (
            'Choose a place to see its call. Hollow ones are doubtful.'
          )}
        </figcaption>
      </figure>
      <label class="tick">
        <input
          type="checkbox"
          checked={isWorld}
          onChange={({ currentTarget }) => {
            setWorld(currentTarget.checked);
          }}
        />
        the whole world
      </label>
    </>
  );
}

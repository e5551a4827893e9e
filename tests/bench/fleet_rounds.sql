-- Flow, head and power of each position read eight times over two years, a tenth of
-- the pumps wearing, and an acceptance test of three points for each pump.
INSERT INTO records_reading (
  key, read_at, quantity, point, value, entered_value, entered_unit, running_state,
  instrument, entered_at, struck_reason, position_id, pump_id)
SELECT
  gen_random_uuid(), round.read_at, quantity.name, '',
  CASE quantity.name
    WHEN 'flow' THEN position.flow_m3_h * round.off
    WHEN 'head' THEN position.head_m * round.worn
    ELSE rated.power_kw * round.off / 0.93
  END,
  '', '', 'running', '', now(), '', position.id, placement.pump_id
FROM plant_position position
JOIN plant_placement placement
  ON placement.position_id = position.id AND placement.removed_at IS NULL
CROSS JOIN LATERAL (
  SELECT position.density_kg_m3 * 9.81 * position.head_m * position.flow_m3_h
    / 3.6e6 / 0.62 AS power_kw) rated
CROSS JOIN LATERAL (
  SELECT
    now() - ((8 - turn) * 91 || ' days')::interval - interval '1 day' AS read_at,
    1 + 0.004 * sin(position.id + turn) AS off,
    CASE WHEN position.id % 10 = 0 THEN 1 - 0.1 * turn / 8 ELSE 1 END AS worn
  FROM generate_series(1, 8) turn) round
CROSS JOIN (VALUES ('flow'), ('head'), ('power')) quantity (name)
WHERE position.flow_m3_h > 0 AND position.head_m > 0 AND position.density_kg_m3 > 0;

INSERT INTO plant_acceptancepoint (
  flow_m3_h, head_m, shaft_power_kw, density_kg_m3, source, pump_id)
SELECT
  position.flow_m3_h * share,
  position.head_m * (1.2 - 0.2 * share),
  position.density_kg_m3 * 9.81 * position.head_m * (1.2 - 0.2 * share)
    * position.flow_m3_h * share / 3.6e6 / (0.62 - 0.05 * abs(share - 1)),
  position.density_kg_m3, '', placement.pump_id
FROM plant_position position
JOIN plant_placement placement
  ON placement.position_id = position.id AND placement.removed_at IS NULL
CROSS JOIN (VALUES (0.7), (1.0), (1.2)) test (share)
WHERE position.flow_m3_h > 0 AND position.head_m > 0 AND position.density_kg_m3 > 0;

ANALYZE records_reading, plant_acceptancepoint;

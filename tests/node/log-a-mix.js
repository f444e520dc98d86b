// A stock client of another language, with the protos as they stand: makes a studio, logs a mix and a pour, reads the
// forecast. Usage: node log-a-mix.js HOST:PORT GOOGLE_PROTOS KEY. Prints one JSON object.
const path = require('path');
const { randomUUID } = require('crypto');
const grpc = require('@grpc/grpc-js');
const loader = require('@grpc/proto-loader');

const [address, googleProtos, key] = process.argv.slice(2);
const protos = path.join(__dirname, '../../protos');
const files = ['studios', 'sites', 'resins', 'lots', 'mixes', 'pieces', 'forecasts'].map(job => `pourwright/v1/${job}.proto`);
const { pourwright: { v1 } } = grpc.loadPackageDefinition(
  loader.loadSync(files, { includeDirs: [protos, googleProtos], keepCase: true, longs: String, enums: String, defaults: true }));

const client = Service => new Service(address, grpc.credentials.createInsecure());
const keyed = new grpc.Metadata();
keyed.set('authorization', `Bearer ${key}`);
const call = (service, method, request) => new Promise((resolve, reject) =>
  service[method](request, keyed, { deadline: Date.now() + 20000 }, (error, answer) => error ? reject(error) : resolve(answer)));
const write = (service, method, request) => call(service, method, { ...request, request_id: randomUUID() });

async function main() {
  const [studios, sites, resins, lots, mixes, pieces, forecasts] =
    [v1.StudioService, v1.SiteService, v1.ResinService, v1.LotService, v1.MixService, v1.PieceService, v1.ForecastService].map(client);
  const studio = await write(studios, 'CreateStudio', { studio_id: 'willow', studio: { display_name: 'Willow' } });
  const site = await write(sites, 'CreateSite', { parent: studio.name, site_id: 'barn', site: { display_name: 'Barn', time_zone: 'Europe/Dublin' } });
  const bench = await write(sites, 'CreateBench', { parent: site.name, bench_id: 'rack', bench: { display_name: 'Rack', planned_temperature_celsius: 20 } });
  const system = await write(resins, 'CreateResinSystem', {
    parent: studio.name, resin_system_id: 'deep',
    resin_system: { display_name: 'Deep', basis: 'BASIS_MASS', hardener_parts_per_100_resin: 42, ratio_tolerance_percent: 2, cure_class: 'CURE_CLASS_DEEP_CASTING' },
  });
  for (const [id, part, mass] of [['a-lot', 'PART_A', 20e6], ['b-lot', 'PART_B', 9e6]])
    await write(lots, 'ReceiveLot', {
      parent: studio.name, lot_id: id, lot: { part, resin_system: system.name, supplier_lot_code: id },
      containers: [{ container_id: `${id}-can`, site: site.name, received_mass_mg: mass }],
    });
  const refused = await write(mixes, 'RecordMix', mix(1_000_000, 500_000)).catch(error => error);
  const mixed = await write(mixes, 'RecordMix', mix(1_000_000, 420_000));
  const piece = await write(pieces, 'CreatePiece', { parent: studio.name, piece_id: 'piece-7', piece: { site: site.name, label: '7' } });
  await write(pieces, 'RecordPour', { parent: piece.name, pour: { mix: mixed.name, bench: bench.name, mass_mg: 1_300_000, depth_mm: 40, pourer: 'Noa' } });
  const forecast = await firstForecast(forecasts, piece.name);
  console.log(JSON.stringify({
    refused: { code: refused.code, message: refused.details },
    mix: { hardener: mixed.hardener_parts_per_100_resin, deviation: mixed.ratio_deviation_percent },
    gates: forecast.gates.map(gate => ({ gate: gate.gate, safe_seconds_after_pour: gate.safe_time ? Number(gate.safe_time.seconds) - Number(forecast.pour_time.seconds) : null })),
    model: forecast.model_revision,
  }));

  function mix(a, b) {
    return {
      parent: studio.name,
      mix: { site: site.name, resin_system: system.name, mixer: 'Noa', draws: [{ container: `${studio.name}/containers/a-lot-can`, mass_mg: a }, { container: `${studio.name}/containers/b-lot-can`, mass_mg: b }] },
    };
  }
}

// The forecast follows the pour by itself: watch until the piece shows one, then read it.
function firstForecast(forecasts, piece) {
  return new Promise((resolve, reject) => {
    const stream = forecasts.WatchReadiness({ parent: piece.split('/').slice(0, 2).join('/') }, keyed, { deadline: Date.now() + 20000 });
    stream.on('error', error => error.code === grpc.status.CANCELLED || reject(error));
    stream.on('data', readiness => {
      if (readiness.piece !== piece || !readiness.forecast) return;
      stream.cancel();
      call(forecasts, 'GetForecast', { name: readiness.forecast }).then(resolve, reject);
    });
  });
}

main().then(() => process.exit(0), error => { console.error(error); process.exit(1); });

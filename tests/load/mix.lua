-- The mixed requests of a load run, read from the file that the environment names: lines of
-- method, path and body, divided by tabs. Prints one line of figures at the end.
local requests = {}

function init()
  for line in io.lines(os.getenv("LOAD_REQUESTS")) do
    local method, path, body = line:match("^(%u+)\t(%S+)\t(.*)$")
    local headers = { ["Content-Type"] = "application/json" }
    table.insert(requests, wrk.format(method, path, headers, body ~= "" and body or nil))
  end
  math.randomseed(7)
end

function request()
  return requests[math.random(#requests)]
end

function done(summary, latency)
  local errors = summary.errors
  io.write(string.format(
    "figures requests=%d seconds=%.2f connect=%d read=%d write=%d timeout=%d status=%d p50_ms=%.1f p95_ms=%.1f p99_ms=%.1f max_ms=%.1f\n",
    summary.requests, summary.duration / 1e6, errors.connect, errors.read, errors.write, errors.timeout,
    errors.status, latency:percentile(50) / 1000, latency:percentile(95) / 1000,
    latency:percentile(99) / 1000, latency.max / 1000))
end

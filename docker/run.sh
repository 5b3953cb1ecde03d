#!/bin/sh
# Starts the service on loopback and prints one request that plans a hat. Called by `make run`.
set -eu
PYTHON=${PYTHON:-python3}
PORT=${PORT:-8080}
cat <<TEXT
The service answers at http://127.0.0.1:$PORT. Stop it with Ctrl-C. Plan a hat from another terminal:

curl -s http://127.0.0.1:$PORT/v1/hat-plans -H 'Content-Type: application/json' -d '{
  "head": {"circumference_cm": 57},
  "gauge": {"stitches_per_10cm": 17, "rounds_per_10cm": 14},
  "fabric": {"fabric_id": "cable-2x2"},
  "yarn": {"weight_category": 4, "ball": {"mass_g": 100, "length_m": 170}}
}'

TEXT
BIND=127.0.0.1:$PORT exec "$PYTHON" -m gunicorn --config docker/gunicorn.conf.py service.wsgi:app

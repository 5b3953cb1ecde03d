#!/bin/sh
# Builds the image, runs it as it will be run, plans a hat from outside, and stops it. Called by `make image`.
# With a Docker engine it uses that; else the build script that lies beside the checkout, where there is one.
set -eu
TAG=${TAG:-hat-pattern-math:ci}
PORT=${PORT:-8099}
PLAN='{"head": {"circumference_cm": 57}, "gauge": {"stitches_per_10cm": 18.5, "rounds_per_10cm": 11.5},
       "fabric": {"fabric_id": "cable-2x2"}}'

plan_a_hat() {
    curl -fsS -m 5 "http://127.0.0.1:$PORT/v1/hat-plans" -H 'Content-Type: application/json' -d "$PLAN" |
        grep -q '"foundation"' && echo "planned a hat from outside the container"
}

if docker info >/dev/null 2>&1; then
    docker build -f docker/Dockerfile -t "$TAG" .
    id=$(docker run -d --read-only --tmpfs /tmp --cap-drop=ALL --security-opt=no-new-privileges \
        -p "127.0.0.1:$PORT:8080" "$TAG")
    trap 'docker rm -f "$id" >/dev/null' EXIT
    for _ in 1 2 3 4 5 6 7 8 9 10; do curl -fsS -m 2 "http://127.0.0.1:$PORT/health/ready" && break; sleep 1; done
    plan_a_hat
    docker stop -t 10 "$id" >/dev/null
    [ "$(docker inspect "$id" --format '{{.State.ExitCode}}')" = 0 ]
elif [ -x ../shared/tools/build-image.sh ]; then
    # The script smoke-runs the container by itself; a watcher plans a hat as soon as it is ready.
    (
        for _ in $(seq 9000); do
            curl -fsS -m 1 "http://127.0.0.1:$PORT/health/ready" -o /dev/null 2>/dev/null && break
            sleep 0.1
        done
        plan_a_hat
    ) &
    watcher=$!
    PORT=$PORT ../shared/tools/build-image.sh . "$TAG" 3.13 docker/Dockerfile
    wait "$watcher"
else
    echo "neither a Docker engine nor a build script is here" >&2
    exit 1
fi

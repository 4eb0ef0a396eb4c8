# The service as one static program in an otherwise empty image: no shell, no package manager, no root, nothing written.
FROM --platform=$BUILDPLATFORM golang:1.26 AS build
WORKDIR /src
COPY go.mod go.sum ./
RUN --mount=type=cache,target=/go/pkg/mod go mod download
COPY . .
ARG TARGETOS=linux
ARG TARGETARCH=amd64
# GOAMD64=v1 runs on every 64-bit x86 and computes the same bits as the newer levels.
RUN --mount=type=cache,target=/go/pkg/mod --mount=type=cache,target=/root/.cache/go-build \
    CGO_ENABLED=0 GOOS=$TARGETOS GOARCH=$TARGETARCH GOAMD64=v1 \
    go build -trimpath -buildvcs=false -tags nomsgpack -ldflags "-s -w" -o /out/bedline ./cmd/bedline

FROM scratch
# For a database that is reached over TLS and checked against public authorities.
COPY --from=build /etc/ssl/certs/ca-certificates.crt /etc/ssl/certs/ca-certificates.crt
COPY --from=build /out/bedline /bedline
USER 65532:65532
ENV BEDLINE_LISTEN=0.0.0.0:8080
EXPOSE 8080
STOPSIGNAL SIGTERM
ENTRYPOINT ["/bedline"]
CMD ["serve"]

// The house in space: a mesh a part to be touched, its lines in one piece a layer, marks written over it.
"use strict";
const LAYERS = {
  sheets: { kinds: ["sheet", "clear sheet", "hole"], on: true },
  planes: { kinds: ["plane"], on: true },
  edges: { kinds: ["edge"], on: true },
  timber: { kinds: ["timber"], on: false },
  rain: { kinds: ["gutter", "downpipe"], on: true },
  walls: { kinds: ["wall", "opening"], on: true },
  boards: { kinds: ["board", "wall sheet"], on: true },
  battens: { kinds: ["batten"], on: false },
  uprights: { kinds: ["upright"], on: false },
};
const PAINT = {
  plane: 0xdedad0, sheet: 0xd5dade, "clear sheet": 0xf4fafc, hole: 0x4a4a4a, edge: 0x3c3c3c, timber: 0xc8a870,
  gutter: 0x66717a, downpipe: 0x66717a, wall: 0xece6d8, opening: 0x7d909d, board: 0xe6dfcf, "wall sheet": 0xd9dde0, batten: 0xb59a68, upright: 0xe4dece,
};
const CHOSEN_PAINT = 0xf0b429;
const MOST_MARKS = 60;

function House3d(stage, before) {
  const renderer = before || new THREE.WebGLRenderer({ antialias: true, preserveDrawingBuffer: true });
  renderer.setClearColor(0xffffff);
  const scene = new THREE.Scene();
  const camera = new THREE.PerspectiveCamera(34, 1, 0.1, 1000);
  camera.up.set(0, 0, 1);
  scene.add(new THREE.HemisphereLight(0xffffff, 0xc8c2b4, 0.78));
  const lamp = new THREE.DirectionalLight(0xffffff, 0.3);
  scene.add(lamp);
  const over = make("canvas", { "aria-hidden": "true" });
  stage.append(renderer.domElement, over);
  const pen = over.getContext("2d");
  const layers = {};
  const kindLayer = {};
  const meshes = [];
  const outlines = []; // of every part, in space: what is drawn round it when it is chosen
  const paint = {};
  for (const [kind, colour] of Object.entries(PAINT)) {
    paint[kind] = new THREE.MeshLambertMaterial({
      color: colour, side: THREE.DoubleSide, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1,
    });
  }
  const chosenPaint = paint.plane.clone();
  chosenPaint.color.setHex(CHOSEN_PAINT);
  for (const [name, layer] of Object.entries(LAYERS)) {
    layers[name] = { group: new THREE.Group(), lines: [] };
    layers[name].group.visible = layer.on;
    scene.add(layers[name].group);
    for (const kind of layer.kinds) kindLayer[kind] = name;
  }

  function flatMesh(part, place) {
    const frame = HOUSE.frames[part.r];
    const points = [];
    const faces = [];
    outlines[place] = [];
    for (const [outer, ...holes] of polygons(part.g)) {
      const two = (ring) => ring.map(([u, v]) => new THREE.Vector2(u, v));
      const first = points.length / 3;
      for (const face of THREE.ShapeUtils.triangulateShape(two(outer), holes.map(two))) faces.push(...face.map((k) => first + k));
      for (const ring of [outer, ...holes]) {
        const corners = ring.map(([u, v]) => inSpace(frame, u, v, part.z));
        corners.forEach((corner) => points.push(...corner));
        outlines[place].push([...corners, corners[0]]);
      }
    }
    return solid(part, place, points, faces);
  }

  // A stick is a row of boxes, one a straight stretch.
  function stickMesh(part, place) {
    const frame = part.r === undefined ? null : HOUSE.frames[part.r];
    const points = [];
    const faces = [];
    outlines[place] = [[]];
    for (let i = 0; i < part.l.length; i += 3) outlines[place][0].push([part.l[i] / 1000, part.l[i + 1] / 1000, part.l[i + 2] / 1000]);
    for (let i = 1; i < outlines[place][0].length; i += 1) {
      const a = new THREE.Vector3(...outlines[place][0][i - 1]);
      const b = new THREE.Vector3(...outlines[place][0][i]);
      const along = b.clone().sub(a).normalize();
      const up = frame ? new THREE.Vector3(frame[9], frame[10], frame[11]) : new THREE.Vector3(0, 0, 1);
      if (Math.abs(along.dot(up)) > 0.99) up.set(1, 0, 0);
      const side = along.clone().cross(up).normalize().multiplyScalar(part.s[0] / 2000);
      const lift = side.clone().normalize().cross(along).normalize().multiplyScalar(part.s[1] / 2000);
      const first = points.length / 3;
      for (const end of [a, b]) {
        for (const [p, q] of [[-1, -1], [1, -1], [1, 1], [-1, 1]]) {
          const corner = end.clone().addScaledVector(side, p).addScaledVector(lift, q);
          points.push(corner.x, corner.y, corner.z);
        }
      }
      for (const [p, q, r, s] of [[0, 1, 5, 4], [1, 2, 6, 5], [2, 3, 7, 6], [3, 0, 4, 7], [3, 2, 1, 0], [4, 5, 6, 7]]) {
        faces.push(first + p, first + q, first + r, first + p, first + r, first + s);
      }
    }
    return solid(part, place, points, faces);
  }

  function solid(part, place, points, faces) {
    const shape = new THREE.BufferGeometry();
    shape.setAttribute("position", new THREE.Float32BufferAttribute(points, 3));
    shape.setIndex(faces);
    const sharp = part.l ? shape.toNonIndexed() : shape;
    sharp.computeVertexNormals();
    const mesh = new THREE.Mesh(sharp, paint[part.k]);
    mesh.userData.place = place;
    const layer = layers[kindLayer[part.k]];
    layer.group.add(mesh);
    if (!part.l) for (const ring of outlines[place]) for (let i = 1; i < ring.length; i += 1) layer.lines.push(...ring[i - 1], ...ring[i]);
    return mesh;
  }

  HOUSE.parts.forEach((part, place) => { meshes[place] = part.g ? flatMesh(part, place) : stickMesh(part, place); });
  for (const layer of Object.values(layers)) {
    const shape = new THREE.BufferGeometry();
    shape.setAttribute("position", new THREE.Float32BufferAttribute(layer.lines, 3));
    layer.group.add(new THREE.LineSegments(shape, new THREE.LineBasicMaterial({ color: layer === layers.boards ? 0x9a9484 : 0x3a3a3a })));
  }
  const covering = () => meshes.filter((mesh, place) => ["plane", "wall", "upright"].includes(HOUSE.parts[place].k) && mesh.parent.visible);

  let [waiting, closed] = [false, false];
  function later() {
    if (!waiting) { waiting = true; requestAnimationFrame(() => { waiting = false; if (!closed) draw(); }); }
  }
  const turning = Turning(stage, later);
  const ball = new THREE.Box3().setFromObject(scene).getBoundingSphere(new THREE.Sphere());
  turning.radius = Math.max(1, ball.radius);
  turning.centre = [ball.center.x, ball.center.y, ball.center.z];
  const all = new THREE.Box3().setFromObject(scene);
  // The distance from which every corner of the box round the house lies within the picture, with a margin.
  turning.fit = function (around = turning.around, over = turning.over) {
    const slope = Math.tan(camera.fov * Math.PI / 360) * 0.94;
    const wide = slope * stage.clientWidth / Math.max(1, stage.clientHeight);
    const [ca, sa, co, so] = [Math.cos(around), Math.sin(around), Math.cos(over), Math.sin(over)];
    let distance = 1;
    for (let corner = 0; corner < 8; corner += 1) {
      const [x, y, z] = ["x", "y", "z"].map((axis, k) => (corner >> k & 1 ? all.max : all.min)[axis] - turning.centre[k]);
      const near = co * (ca * x + sa * y) + so * z;
      const right = ca * y - sa * x;
      const up = co * z - so * (ca * x + sa * y);
      distance = Math.max(distance, near + Math.abs(right) / wide, near + Math.abs(up) / slope);
    }
    return distance;
  };

  function draw() {
    const eye = turning.eye();
    camera.position.set(...eye);
    camera.near = Math.max(0.05, turning.distance - turning.radius * 3);
    camera.far = turning.distance + turning.radius * 4;
    camera.lookAt(...turning.target);
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld();
    lamp.position.set(eye[0] - eye[1] * 0.3, eye[1] + eye[0] * 0.3, eye[2] + turning.radius);
    renderer.render(scene, camera);
    drawMarks();
  }

  const onPaper = (at) => {
    const seen = new THREE.Vector3(...at).project(camera);
    return seen.z > 1 ? null : [(seen.x + 1) / 2 * stage.clientWidth, (1 - seen.y) / 2 * stage.clientHeight];
  };
  const middleOf = (place) => {
    const ring = outlines[place][0];
    const count = HOUSE.parts[place].g ? ring.length - 1 : ring.length;
    const sum = [0, 0, 0];
    for (let i = 0; i < count; i += 1) for (let k = 0; k < 3; k += 1) sum[k] += ring[i][k] / count;
    return sum;
  };
  const eyeRay = new THREE.Raycaster();
  function inSight(at, hiding, from = camera.position) {
    const way = new THREE.Vector3(...at).sub(from);
    const far = way.length();
    eyeRay.set(from, way.normalize());
    eyeRay.far = far - 0.12;
    return eyeRay.intersectObjects(hiding, false).length === 0;
  }
  function faces(part, at) {
    const frame = HOUSE.frames[part.r];
    const out = [0, 1, 2].reduce((sum, k) => sum + frame[9 + k] * (camera.position.getComponent(k) - at[k]), 0);
    return out > 0;
  }
  function write(text, at, size, bold) {
    pen.font = `${bold ? "bold " : ""}${size}px "Liberation Sans", Arial, sans-serif`;
    pen.lineWidth = 4;
    pen.strokeStyle = "#ffffff";
    pen.fillStyle = "#1a1a1a";
    pen.strokeText(text, at[0], at[1]);
    pen.fillText(text, at[0], at[1]);
  }

  function drawMarks() {
    pen.setTransform(over.width / stage.clientWidth, 0, 0, over.height / stage.clientHeight, 0, 0);
    pen.clearRect(0, 0, stage.clientWidth, stage.clientHeight);
    pen.textAlign = "center";
    pen.textBaseline = "middle";
    pen.lineJoin = "round";
    const hiding = covering();
    const taken = [];
    const free = (at, wide, high) => {
      const box = [at[0] - wide / 2, at[1] - high / 2, at[0] + wide / 2, at[1] + high / 2];
      if (taken.some((b) => box[0] < b[2] && b[0] < box[2] && box[1] < b[3] && b[1] < box[3])) return false;
      taken.push(box);
      return true;
    };
    drawChosen(free);
    for (const kind of ["plane", "sheet", "clear sheet", "opening"]) {
      if (!layers[kindLayer[kind]].group.visible) continue;
      HOUSE.parts.forEach((part, place) => {
        if (part.k !== kind || Chosen.parts.includes(place)) return;
        const middle = middleOf(place);
        if (!faces(part, middle)) return;
        const at = onPaper(middle);
        if (!at) return;
        const plane = kind === "plane";
        const room = plane ? 99 : narrow(place);
        if (room >= 13 && inSight(middle, hiding) && free(at, part.m.length * (plane ? 11 : 7), plane ? 18 : 12)) write(part.m, at, plane ? 17 : 11, plane);
      });
    }
  }
  // The lesser of a flat part's two sides as it lies on paper, in dots.
  function narrow(place) {
    const ring = outlines[place][0].map(onPaper);
    if (ring.includes(null)) return 0;
    const width = Math.max(...ring.map((p) => p[0])) - Math.min(...ring.map((p) => p[0]));
    const height = Math.max(...ring.map((p) => p[1])) - Math.min(...ring.map((p) => p[1]));
    return Math.min(width / 2.2, height / 1.1);
  }
  function drawChosen(free) {
    for (const place of Chosen.parts) {
      for (const ring of outlines[place]) {
        const seen = ring.map(onPaper);
        if (seen.includes(null)) continue;
        for (const [colour, wide] of [["#ffffff", 6], ["#1a1a1a", 3]]) {
          pen.strokeStyle = colour;
          pen.lineWidth = wide;
          pen.beginPath();
          seen.forEach(([x, y], i) => (i ? pen.lineTo(x, y) : pen.moveTo(x, y)));
          pen.stroke();
        }
      }
    }
    for (const place of Chosen.parts.slice(0, MOST_MARKS)) {
      const at = onPaper(middleOf(place));
      const text = HOUSE.parts[place].m;
      if (at && free(at, text.length * 8 + 4, 16)) write(text, at, 13, true);
    }
  }

  function size() {
    const [wide, high] = [Math.max(1, stage.clientWidth), Math.max(1, stage.clientHeight)];
    const dots = Math.min(2, window.devicePixelRatio || 1);
    renderer.setPixelRatio(dots);
    renderer.setSize(wide, high, false);
    over.width = wide * dots;
    over.height = high * dots;
    camera.aspect = wide / high;
    later();
  }

  // The edge that a touch means: one that runs within a few dots of it and is in sight there; null for none.
  const NEAR_DOTS = 7;
  function edgeNear(x, y) {
    if (!layers.edges.group.visible) return null;
    let best = null;
    HOUSE.parts.forEach((part, place) => {
      if (part.k !== "edge") return;
      const [a, b] = outlines[place][0];
      const [p, q] = [onPaper(a), onPaper(b)];
      if (!p || !q) return;
      const [dx, dy] = [q[0] - p[0], q[1] - p[1]];
      const t = Math.max(0, Math.min(1, ((x - p[0]) * dx + (y - p[1]) * dy) / (dx * dx + dy * dy || 1)));
      const off = Math.hypot(x - p[0] - t * dx, y - p[1] - t * dy);
      const share = 1 / (1 + (1 / t - 1) * depthOf(a) / depthOf(b)); // along the edge, from along its picture
      const at = a.map((value, k) => value + (t > 0 ? share : 0) * (b[k] - value));
      if (off < (best ? best.off : NEAR_DOTS) && inSight([at[0], at[1], at[2] + 0.05], covering())) best = { off, place };
    });
    return best && best.place;
  }
  const depthOf = (at) => {
    const way = camera.getWorldDirection(new THREE.Vector3());
    return Math.max(1e-3, way.dot(new THREE.Vector3(...at).sub(camera.position)));
  };

  turning.touched = function (x, y) {
    const box = stage.getBoundingClientRect();
    const at = new THREE.Vector2((x - box.left) / box.width * 2 - 1, 1 - (y - box.top) / box.height * 2);
    const ray = new THREE.Raycaster();
    ray.setFromCamera(at, camera);
    const edge = edgeNear(x - box.left, y - box.top);
    const hit = edge === null && ray.intersectObjects(meshes.filter((mesh) => mesh.parent.visible), false)[0];
    Chosen.set(edge !== null ? [edge] : hit ? [hit.object.userData.place] : [], null, true);
  };
  turning.step = function (by) {
    const shown = HOUSE.parts.map((_, place) => place).filter((place) => meshes[place].parent.visible);
    if (!shown.length) return;
    const now = shown.indexOf(Chosen.parts[0]);
    Chosen.set([shown[now < 0 ? (by > 0 ? 0 : shown.length - 1) : (now + by + shown.length) % shown.length]], null);
  };

  Chosen.listeners.push(() => {
    meshes.forEach((mesh, place) => { mesh.material = paint[HOUSE.parts[place].k]; });
    for (const place of Chosen.parts) {
      meshes[place].material = chosenPaint;
      if (!meshes[place].parent.visible) self.show(kindLayer[HOUSE.parts[place].k], true);
    }
    if (Chosen.parts.length && !Chosen.inView) facing.turnTo(Chosen.parts);
    later();
  });
  const facing = Facing({ turning, middleOf, sees: (at, eye) => inSight(at, covering(), new THREE.Vector3(...eye)) });
  const self = {
    turning,
    layers: Object.keys(LAYERS).filter((name) => layers[name].group.children.length > 1),
    shown: (name) => layers[name].group.visible,
    show(name, on) {
      layers[name].group.visible = on;
      const box = byId("layer-" + name);
      if (box) box.checked = on;
      later();
    },
    centreOf: (place) => onPaper(middleOf(place)),
    draw,
    // What it held is given back, but for the renderer, which the next house may use.
    close() {
      closed = true;
      watcher.disconnect();
      scene.traverse((each) => { if (each.geometry) each.geometry.dispose(); });
      for (const each of [...Object.values(paint), chosenPaint]) each.dispose();
      return renderer;
    },
  };
  const watcher = new ResizeObserver(size);
  watcher.observe(stage);
  size();
  turning.whole();
  return self;
}

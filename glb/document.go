package glb

// The JSON part of the format, as far as it is written.

type document struct {
	Asset      asset       `json:"asset"`
	Scene      int         `json:"scene"`
	Scenes     []scene     `json:"scenes"`
	Nodes      []node      `json:"nodes"`
	Meshes     []mesh      `json:"meshes,omitempty"`
	Materials  []material  `json:"materials,omitempty"`
	Animations []animation `json:"animations,omitempty"`
	Accessors  []accessor  `json:"accessors,omitempty"`
	Views      []view      `json:"bufferViews,omitempty"`
	Buffers    []buffer    `json:"buffers,omitempty"`
}

type asset struct {
	Version   string `json:"version"`
	Generator string `json:"generator,omitempty"`
}

type scene struct {
	Nodes []int `json:"nodes"`
}

type node struct {
	Name        string         `json:"name,omitempty"`
	Mesh        *int           `json:"mesh,omitempty"`
	Translation *[3]float64    `json:"translation,omitempty"`
	Rotation    *[4]float64    `json:"rotation,omitempty"`
	Scale       *[3]float64    `json:"scale,omitempty"`
	Children    []int          `json:"children,omitempty"`
	Extras      map[string]any `json:"extras,omitempty"` // written in the order of its keys
}

type mesh struct {
	Name       string      `json:"name,omitempty"`
	Primitives []primitive `json:"primitives"`
}

type primitive struct {
	Attributes struct {
		Position int `json:"POSITION"`
		Normal   int `json:"NORMAL"`
	} `json:"attributes"`
	Indices  int  `json:"indices"`
	Material *int `json:"material,omitempty"`
	Mode     int  `json:"mode"`
}

type material struct {
	Name      string  `json:"name,omitempty"`
	Surface   surface `json:"pbrMetallicRoughness"`
	AlphaMode string  `json:"alphaMode,omitempty"`
}

type surface struct {
	Colour    [4]float64 `json:"baseColorFactor"`
	Metallic  float64    `json:"metallicFactor"`
	Roughness float64    `json:"roughnessFactor"`
}

type animation struct {
	Name     string    `json:"name,omitempty"`
	Channels []channel `json:"channels"`
	Samplers []sampler `json:"samplers"`
}

type channel struct {
	Sampler int    `json:"sampler"`
	Target  target `json:"target"`
}

type target struct {
	Node int    `json:"node"`
	Path string `json:"path"`
}

type sampler struct {
	Input         int    `json:"input"`
	Interpolation string `json:"interpolation"`
	Output        int    `json:"output"`
}

type accessor struct {
	View      int       `json:"bufferView"`
	Component int       `json:"componentType"`
	Count     int       `json:"count"`
	Type      string    `json:"type"`
	Min       []float64 `json:"min,omitempty"`
	Max       []float64 `json:"max,omitempty"`
}

type view struct {
	Buffer     int `json:"buffer"`
	ByteOffset int `json:"byteOffset"`
	ByteLength int `json:"byteLength"`
	Target     int `json:"target,omitempty"`
}

type buffer struct {
	ByteLength int `json:"byteLength"`
}

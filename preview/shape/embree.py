"""Embree by its own C interface, out of the library that comes with embreex.

embreex hands a mesh over number by number, which for millions takes longer than Embree needs to
prepare it; here Embree reads the arrays where they lie. Import this where rays are cast: it loads
Embree and Numba, and raises OSError or AttributeError where the library cannot be reached so or is
of another major version.

References
----------
Embree 4 API, rtcore_geometry.h, rtcore_ray.h, rtcore_common.h and rtcore_device.h: layout of
RTCRayHit, RTCRay16 and RTCOccludedArguments, values of the constants.
"""

from __future__ import annotations

import ctypes
import sys
import weakref
from typing import Any

import numpy as np
from embreex import mesh_construction
from llvmlite import binding
from numba import types
from numpy.typing import NDArray

from preview.shape.compiled import compiled

_ROBUST = 1 << 2
_TRIANGLES = 0
_INDICES, _VERTICES = 0, 1
_UINT3, _FLOAT3 = 0x5003, 0x9003

# Words of RTCRayHit: where a ray begins and leads, and what it met.
_ORIGIN, _NEAR, _WAY, _TIME, _FAR, _MASK = 0, 3, 4, 7, 8, 9
_U, _V, _FACE, _MESH, _INSTANCE = 15, 16, 17, 18, 19
_WORDS, _ALIGNED = 24, 4
_NONE = 0xFFFFFFFF

# RTCRay16 holds the words of sixteen rays side by side: all first words, then all second ones.
_PACKET, _PACKET_ALIGNED, _RAY_WORDS = 16, 16, 12
_VERSION_MAJOR, _NATIVE_EIGHTS, _NATIVE_PACKETS = 1, 33, 34
_MAJOR = 4
_EIGHT_BRANCHES = b"tri_accel=bvh8.triangle4v"
_COHERENT, _ALL_FEATURES = 1 << 16, 0xFFFFFFFF
_ARGUMENT_WORDS = 16

Floats = NDArray[np.float32]
Ints = NDArray[np.int32]

# Loading a module finds what the libraries that it stands on offer; Windows wants them by name.
_library = ctypes.CDLL("embree4.dll" if sys.platform == "win32" else mesh_construction.__file__)


def _call(name: str, gives: Any, *takes: Any) -> Any:
    """One of Embree's functions."""
    function = getattr(_library, name)
    function.restype, function.argtypes = gives, takes
    return function


def _loop_call(name: str, takes: int = 3) -> Any:
    """One of Embree's functions on scene, ray and arguments, for compiled loops.

    A function on a packet of rays takes a fourth in front: which of them are to be cast.
    """
    binding.add_symbol(name, ctypes.cast(getattr(_library, name), ctypes.c_void_p).value)
    return types.ExternalFunction(name, types.void(*[types.uintp] * takes))


_handle, _count, _number = ctypes.c_void_p, ctypes.c_size_t, ctypes.c_int
_new_device = _call("rtcNewDevice", _handle, ctypes.c_char_p)
_plain = _new_device(None)
_property = _call("rtcGetDeviceProperty", ctypes.c_ssize_t, _handle, _number)
_version = _property(_plain, _VERSION_MAJOR)
if _version != _MAJOR:
    raise OSError(f"Embree {_MAJOR} is needed here, the library is Embree {_version}")
_new_scene = _call("rtcNewScene", _handle, _handle)
_set_flags = _call("rtcSetSceneFlags", None, _handle, _number)
_new_geometry = _call("rtcNewGeometry", _handle, _handle, _number)
_share = _call(
    "rtcSetSharedGeometryBuffer",
    None,
    *(_handle, _number, ctypes.c_uint, _number, _handle, _count, _count, _count),
)
_commit_geometry = _call("rtcCommitGeometry", None, _handle)
_attach = _call("rtcAttachGeometry", ctypes.c_uint, _handle, _handle)
_release_geometry = _call("rtcReleaseGeometry", None, _handle)
_commit_scene = _call("rtcCommitScene", None, _handle)
_release_scene = _call("rtcReleaseScene", None, _handle)
_intersect, _occluded = _loop_call("rtcIntersect1"), _loop_call("rtcOccluded1")
# Nodes with eight branches, where the processor takes eight numbers at once, lead rays to their
# faces faster than Embree's own choice of four.
_device = _new_device(_EIGHT_BRANCHES if _property(_plain, _NATIVE_EIGHTS) == 1 else None)
_error = _call("rtcGetDeviceError", _number, _handle)
_has_packets = _property(_device, _NATIVE_PACKETS) == 1
# Without them the name may be missing; the loop that calls it is then never compiled.
_occluded_packet: Any = _loop_call("rtcOccluded16", 4) if _has_packets else None


class Embree:
    """A mesh that Embree has prepared; parameters and results as for `RayScene`.

    Raises
    ------
    OSError : Embree cannot prepare the mesh in this way.
    """

    def __init__(self, vertices: Floats, faces: Ints) -> None:
        # Embree reads 16 bytes at every vertex, so one more must follow the last.
        self._vertices = np.concatenate([vertices, np.zeros((1, 3), np.float32)])
        self._faces = faces
        self._scene: int = _new_scene(_device)
        weakref.finalize(self, _release_scene, self._scene)
        _set_flags(self._scene, _ROBUST)
        geometry = _new_geometry(_device, _TRIANGLES)
        for kind, form, array, count in (
            (_VERTICES, _FLOAT3, self._vertices, len(vertices)),
            (_INDICES, _UINT3, faces, len(faces)),
        ):
            _share(geometry, kind, 0, form, array.ctypes.data, 0, array.strides[0], count)
        _commit_geometry(geometry)
        _attach(self._scene, geometry)
        _release_geometry(geometry)
        _commit_scene(self._scene)
        if (error := _error(_device)) != 0:
            raise OSError(f"Embree cannot prepare the mesh: error {error}")

    def first_hit(
        self, origins: Floats, directions: Floats, face: Ints, distance: Floats, bary: Floats
    ) -> None:
        """Fill in what each ray meets first."""
        _first_hits(self._scene, origins, directions, face, distance, bary)

    def blocked(
        self, origins: Floats, directions: Floats, reach: float, blocked: NDArray[np.bool_]
    ) -> None:
        """Fill in whether each ray meets anything."""
        # Sixteen at a time where the processor can: neighbours in the list mostly lead about the
        # same way and pass through the same cells of the scene.
        cast = _blocked_together if _has_packets else _blocked
        cast(self._scene, origins, directions, np.float32(reach), blocked)


@compiled
def _first_hits(
    scene: int, origins: Floats, directions: Floats, face: Ints, distance: Floats, bary: Floats
) -> None:
    """Fill in the first face on each ray, how far it is, and where on it."""
    room = np.zeros(_WORDS + _ALIGNED, np.uint32)
    begin = (-(room.ctypes.data // 4)) % _ALIGNED
    words = room[begin : begin + _WORDS]
    numbers = words.view(np.float32)
    words[_MASK] = _NONE
    for i in range(len(origins)):
        j = i if len(directions) > 1 else 0
        for k in range(3):
            numbers[_ORIGIN + k], numbers[_WAY + k] = origins[i, k], directions[j, k]
        numbers[_NEAR], numbers[_TIME], numbers[_FAR] = 0.0, 0.0, np.inf
        words[_FACE] = words[_MESH] = words[_INSTANCE] = _NONE
        _intersect(scene, words.ctypes.data, 0)
        if words[_MESH] == _NONE:
            face[i], distance[i] = -1, np.inf
            bary[i, 0] = bary[i, 1] = 0.0
        else:
            face[i], distance[i] = words[_FACE], numbers[_FAR]
            bary[i, 0], bary[i, 1] = numbers[_U], numbers[_V]


@compiled
def _blocked(
    scene: int,
    origins: Floats,
    directions: Floats,
    reach: np.float32,
    blocked: NDArray[np.bool_],
) -> None:
    """Fill in whether anything lies on each ray; Embree then sets its end below 0."""
    room = np.zeros(_WORDS + _ALIGNED, np.uint32)
    begin = (-(room.ctypes.data // 4)) % _ALIGNED
    words = room[begin : begin + _WORDS]
    numbers = words.view(np.float32)
    words[_MASK] = _NONE
    for i in range(len(origins)):
        j = i if len(directions) > 1 else 0
        for k in range(3):
            numbers[_ORIGIN + k], numbers[_WAY + k] = origins[i, k], directions[j, k]
        numbers[_NEAR], numbers[_TIME], numbers[_FAR] = 0.0, 0.0, reach
        _occluded(scene, words.ctypes.data, 0)
        blocked[i] = numbers[_FAR] < 0.0


@compiled
def _blocked_together(
    scene: int,
    origins: Floats,
    directions: Floats,
    reach: np.float32,
    blocked: NDArray[np.bool_],
) -> None:
    """As `_blocked`, for sixteen rays at a time."""
    size = _PACKET * (1 + _RAY_WORDS) + _ARGUMENT_WORDS
    room = np.zeros(size + _PACKET_ALIGNED, np.uint32)
    begin = (-(room.ctypes.data // 4)) % _PACKET_ALIGNED
    chosen = room[begin : begin + _PACKET]
    words = room[begin + _PACKET : begin + _PACKET * (1 + _RAY_WORDS)]
    arguments = room[begin + size - _ARGUMENT_WORDS : begin + size]
    arguments[0], arguments[1] = _COHERENT, _ALL_FEATURES
    numbers = words.view(np.float32)
    words[_MASK * _PACKET : (_MASK + 1) * _PACKET] = _NONE
    for i in range(0, len(origins), _PACKET):
        count = min(_PACKET, len(origins) - i)
        for j in range(_PACKET):
            chosen[j] = _NONE if j < count else 0
            numbers[_FAR * _PACKET + j] = reach
        for j in range(count):
            ray = i + j if len(directions) > 1 else 0
            for k in range(3):
                numbers[(_ORIGIN + k) * _PACKET + j] = origins[i + j, k]
                numbers[(_WAY + k) * _PACKET + j] = directions[ray, k]
        _occluded_packet(chosen.ctypes.data, scene, words.ctypes.data, arguments.ctypes.data)
        for j in range(count):
            blocked[i + j] = numbers[_FAR * _PACKET + j] < 0.0

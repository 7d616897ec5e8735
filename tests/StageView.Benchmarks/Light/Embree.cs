using System.Numerics;
using System.Runtime.InteropServices;
using StageView.Light.Moments;

namespace StageView.Benchmarks.Light;

/// <summary>As much of Embree 3's C interface as shadow rays need (Debian package libembree3-3).</summary>
internal sealed unsafe class Embree : IDisposable
{
    private const string Library = "libembree3.so.3";
    private readonly nint _device;
    private readonly nint _scene;

    private Embree(nint device, nint scene) => (_device, _scene) = (device, scene);

    /// <summary>Builds a scene of one triangle mesh, or null where the library isn't installed.</summary>
    public static Embree? Build(SceneMesh mesh, int threads)
    {
        if (!NativeLibrary.TryLoad(Library, out _))
        {
            return null;
        }

        var device = NewDevice($"threads={threads}");
        var scene = NewScene(device);
        var geometry = NewGeometry(device, 0);
        var vertices = (Vector3*)SetNewGeometryBuffer(geometry, 1, 0, 0x9003, 12, (nuint)mesh.Positions.Length);
        mesh.Positions.CopyTo(new Span<Vector3>(vertices, mesh.Positions.Length));
        var indices = (int*)SetNewGeometryBuffer(geometry, 0, 0, 0x5003, 12, (nuint)(mesh.Indices.Length / 3));
        mesh.Indices.CopyTo(new Span<int>(indices, mesh.Indices.Length));
        CommitGeometry(geometry);
        _ = AttachGeometry(scene, geometry);
        ReleaseGeometry(geometry);
        CommitScene(scene);
        return new Embree(device, scene);
    }

    /// <summary>Shadow rays one at a time through rtcOccluded1; a blocked ray comes back with Far = -∞. The rays must lie on 16 bytes.</summary>
    public void Single(Ray* rays, int count)
    {
        var context = Context.Fresh(coherent: false);
        for (var i = 0; i < count; i++)
        {
            Occluded1(_scene, &context, rays + i);
        }
    }

    /// <summary>Shadow rays as one coherent stream through rtcOccluded1M.</summary>
    public void Stream(Ray* rays, int count)
    {
        var context = Context.Fresh(coherent: true);
        Occluded1M(_scene, &context, rays, (uint)count, (nuint)sizeof(Ray));
    }

    public void Dispose()
    {
        ReleaseScene(_scene);
        ReleaseDevice(_device);
    }

    /// <summary>RTCRay: 48 bytes.</summary>
    [StructLayout(LayoutKind.Sequential)]
    public struct Ray
    {
        public Vector3 Origin;
        public float Near;
        public Vector3 Direction;
        public float Time;
        public float Far;
        public uint Mask;
        public uint Id;
        public uint Flags;
    }

    /// <summary>RTCIntersectContext of Embree 3 with one instance level.</summary>
    [StructLayout(LayoutKind.Sequential)]
    private struct Context
    {
        public uint Flags;
        public nint Filter;
        public uint Instance;

        public static Context Fresh(bool coherent) => new() { Flags = coherent ? 1u : 0u, Instance = uint.MaxValue };
    }

    [DllImport(Library, EntryPoint = "rtcNewDevice")]
    private static extern nint NewDevice([MarshalAs(UnmanagedType.LPUTF8Str)] string config);

    [DllImport(Library, EntryPoint = "rtcNewScene")]
    private static extern nint NewScene(nint device);

    [DllImport(Library, EntryPoint = "rtcNewGeometry")]
    private static extern nint NewGeometry(nint device, int type);

    [DllImport(Library, EntryPoint = "rtcSetNewGeometryBuffer")]
    private static extern void* SetNewGeometryBuffer(nint geometry, int type, uint slot, int format, nuint stride, nuint count);

    [DllImport(Library, EntryPoint = "rtcCommitGeometry")]
    private static extern void CommitGeometry(nint geometry);

    [DllImport(Library, EntryPoint = "rtcAttachGeometry")]
    private static extern uint AttachGeometry(nint scene, nint geometry);

    [DllImport(Library, EntryPoint = "rtcReleaseGeometry")]
    private static extern void ReleaseGeometry(nint geometry);

    [DllImport(Library, EntryPoint = "rtcCommitScene")]
    private static extern void CommitScene(nint scene);

    [DllImport(Library, EntryPoint = "rtcOccluded1")]
    [SuppressGCTransition]
    private static extern void Occluded1(nint scene, Context* context, Ray* ray);

    [DllImport(Library, EntryPoint = "rtcOccluded1M")]
    private static extern void Occluded1M(nint scene, Context* context, Ray* rays, uint count, nuint stride);

    [DllImport(Library, EntryPoint = "rtcReleaseScene")]
    private static extern void ReleaseScene(nint scene);

    [DllImport(Library, EntryPoint = "rtcReleaseDevice")]
    private static extern void ReleaseDevice(nint device);
}

using System.Numerics;
using System.Runtime.InteropServices;
using System.Text;
using StageView.Light.Moments;

namespace StageView.Rig.ModelReaders;

/// <summary>
/// A minimal binding to libassimp 5 where the system has it (Debian: libassimp5): positions and triangles of all meshes, placed by
/// their nodes. Taken as metres, Y up, (x, y, z) → (x, -z, y); a file in other units is set right by size or scale in the scene file.
/// </summary>
internal sealed unsafe class AssimpModels : IForeignModels
{
    // Post-processing steps of assimp/postprocess.h.
    private const uint Triangulate = 0x8;
    private const uint PreTransformVertices = 0x100;
    private const uint ValidateDataStructure = 0x400;

    private static readonly string[] Libraries = ["libassimp.so.5", "libassimp.5.dylib", "assimp-vc143-mt.dll"];

    private readonly delegate* unmanaged[Cdecl]<byte*, uint, Scene*> _import;
    private readonly delegate* unmanaged[Cdecl]<Scene*, void> _release;
    private readonly delegate* unmanaged[Cdecl]<byte*> _error;
    private readonly delegate* unmanaged[Cdecl]<byte*, int> _isSupported;

    private AssimpModels()
    {
        nint library = 0;
        if (!Array.Exists(Libraries, l => NativeLibrary.TryLoad(l, out library)))
        {
            Missing = "libassimp 5 is not on this machine (Debian: libassimp5)";
            return;
        }

        var version = (delegate* unmanaged[Cdecl]<uint>)NativeLibrary.GetExport(library, "aiGetVersionMajor");
        if (version() != 5)
        {
            Missing = "the libassimp of this machine is not version 5";
            return;
        }

        _import = (delegate* unmanaged[Cdecl]<byte*, uint, Scene*>)NativeLibrary.GetExport(library, "aiImportFile");
        _release = (delegate* unmanaged[Cdecl]<Scene*, void>)NativeLibrary.GetExport(library, "aiReleaseImport");
        _error = (delegate* unmanaged[Cdecl]<byte*>)NativeLibrary.GetExport(library, "aiGetErrorString");
        _isSupported = (delegate* unmanaged[Cdecl]<byte*, int>)NativeLibrary.GetExport(library, "aiIsExtensionSupported");
    }

    private static readonly Lazy<AssimpModels> Loaded = new(() => new AssimpModels());

    public static IForeignModels Instance => Loaded.Value;

    public string Missing { get; } = "";

    public bool Knows(string extension)
    {
        if (Missing.Length > 0)
        {
            return false;
        }

        fixed (byte* text = Encoding.UTF8.GetBytes($".{extension.ToLowerInvariant()}\0"))
        {
            return _isSupported(text) != 0;
        }
    }

    public SceneMesh? TryRead(string path, string name, out string why)
    {
        if (Missing.Length > 0)
        {
            why = $"{name}: {Missing}";
            return null;
        }

        Scene* scene;
        fixed (byte* text = Encoding.UTF8.GetBytes(path + '\0'))
        {
            scene = _import(text, Triangulate | PreTransformVertices | ValidateDataStructure);
        }

        if (scene is null)
        {
            var said = Marshal.PtrToStringUTF8((nint)_error()) ?? "";
            why = $"{name}: libassimp can't read it: {new string([.. said.Select(c => char.IsControl(c) ? ' ' : c).Take(200)])}";
            return null;
        }

        try
        {
            return Copy(scene, name, out why);
        }
        finally
        {
            _release(scene);
        }
    }

    private static SceneMesh? Copy(Scene* scene, string name, out string why)
    {
        var positions = new List<Vector3>();
        var normals = new List<Vector3>();
        for (var m = 0; m < scene->MeshCount; m++)
        {
            var mesh = scene->Meshes[m];
            for (var f = 0; f < mesh->FaceCount; f++)
            {
                // Points and lines stay behind.
                var face = mesh->Faces[f];
                if (face.Count != 3 || face.Indices[0] >= mesh->VertexCount || face.Indices[1] >= mesh->VertexCount || face.Indices[2] >= mesh->VertexCount)
                {
                    continue;
                }

                if (positions.Count >= ModelFiles.MaxTriangles * 3)
                {
                    why = $"{name} holds more than {ModelFiles.MaxTriangles} triangles";
                    return null;
                }

                var (a, b, c) = (Up(mesh->Vertices[face.Indices[0]]), Up(mesh->Vertices[face.Indices[1]]), Up(mesh->Vertices[face.Indices[2]]));
                var n = Vector3.Cross(b - a, c - a);
                if (n.LengthSquared() > 1e-20f && float.IsFinite(n.LengthSquared()))
                {
                    n = Vector3.Normalize(n);
                    positions.AddRange([a, b, c]);
                    normals.AddRange([n, n, n]);
                }
            }
        }

        why = positions.Count == 0 ? $"{name} holds no triangles" : "";
        return positions.Count == 0 ? null : MeshWelding.Weld(name, positions, normals);
    }

    private static Vector3 Up(Vector3 v) => new(v.X, -v.Z, v.Y);

    /// <summary>Start of aiScene of libassimp 5 (64 bits): flags, root node, meshes.</summary>
    [StructLayout(LayoutKind.Sequential)]
    private struct Scene
    {
        public uint Flags;
        public nint Root;
        public uint MeshCount;
        public Mesh** Meshes;
    }

    /// <summary>aiMesh up to its faces; what lies between is not read.</summary>
    [StructLayout(LayoutKind.Explicit)]
    private struct Mesh
    {
        [FieldOffset(4)]
        public uint VertexCount;

        [FieldOffset(8)]
        public uint FaceCount;

        [FieldOffset(16)]
        public Vector3* Vertices;

        [FieldOffset(208)]
        public Face* Faces;
    }

    [StructLayout(LayoutKind.Sequential)]
    private struct Face
    {
        public uint Count;
        public uint* Indices;
    }
}

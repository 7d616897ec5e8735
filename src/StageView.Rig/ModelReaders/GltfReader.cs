using System.Numerics;
using SharpGLTF.Schema2;
using StageView.Light.Moments;

namespace StageView.Rig.ModelReaders;

/// <summary>Reads glTF 2.0 (GLB, or glTF with its buffers inside) through SharpGLTF: metres, Y up becomes Z up, (x, y, z) → (x, -z, y).</summary>
internal static class GltfReader
{
    public static SceneMesh? TryRead(byte[] bytes, string name, ModelContext around, out string why)
    {
        var wrong = GltfCheck.Look(bytes, out var triangles, asked => around.Beside?.Invoke(asked) is not null);
        if (wrong.Length > 0)
        {
            why = $"{name} can't be read as glTF: {wrong}";
            return null;
        }

        var materials = new GltfMaterials();
        try
        {
            var context = ReadContext.Create(asked =>
                new ArraySegment<byte>(around.Beside?.Invoke(asked) ?? throw new FileNotFoundException($"it refers to {asked}, which is not beside it")));
            context.JsonPreprocessor = materials.TakeOut;
            context.Validation = SharpGLTF.Validation.ValidationMode.Strict;
            var model = context.ReadSchema2(new MemoryStream(bytes, writable: false));
            var scene = model.DefaultScene ?? (model.LogicalScenes.Count > 0 ? model.LogicalScenes[0] : null);
            if (scene is null)
            {
                why = $"{name} holds no scene";
                return null;
            }

            var positions = new List<Vector3>(3 * triangles);
            var normals = new List<Vector3>(3 * triangles);
            var painted = new List<Vector3>();
            var paint = new PaintMaker();
            var pictures = new GltfPictures(name, materials, model, around);
            foreach (var (node, world) in Walk(scene.VisualChildren, Matrix4x4.Identity).Where(n => n.Node.Mesh is not null))
            {
                foreach (var primitive in node.Mesh.Primitives)
                {
                    var points = primitive.GetVertexAccessor("POSITION")?.AsVector3Array();
                    if (points is null)
                    {
                        continue;
                    }

                    var material = materials.Of(primitive.Material?.LogicalIndex ?? -1);
                    var corners = material.Image < 0 ? null : primitive.GetVertexAccessor($"TEXCOORD_{material.Coordinates}")?.AsVector2Array();
                    var picture = paint.Add(corners is null ? -1 : material.Image, material.Factor, () => pictures.Decode(material.Image));
                    Vector3 At(int i) => new(corners is null ? Vector2.Zero : (corners[i] * material.Scale) + material.Offset, picture);
                    foreach (var (a, b, c) in primitive.GetTriangleIndices())
                    {
                        if (positions.Count >= ModelFiles.MaxTriangles * 3)
                        {
                            why = $"{name} holds more than {ModelFiles.MaxTriangles} triangles";
                            return null;
                        }

                        if (Add(
                            Vector3.Transform(points[a], world), Vector3.Transform(points[b], world), Vector3.Transform(points[c], world), positions, normals))
                        {
                            painted.AddRange([At(a), At(b), At(c)]);
                        }
                    }
                }
            }

            if (positions.Count == 0)
            {
                why = $"{name} holds no triangles";
                return null;
            }

            why = "";
            foreach (var passed in materials.PassedOver)
            {
                around.Told?.Invoke($"{name}: its extension {passed} is not used");
            }

            if (!paint.HasPictures)
            {
                return MeshWelding.Weld(name, positions, normals);
            }

            var mesh = MeshWelding.Weld(name, positions, normals, painted, out var at);
            return mesh with { Paint = paint.Make(mesh, at) };
        }
        catch (FileNotFoundException e)
        {
            why = $"{name} can't be read as glTF: {e.Message}";
            return null;
        }
        catch (Exception e) when (e is not OutOfMemoryException)
        {
            // The library throws many types on damaged files, and on extensions that it doesn't know.
            why = materials.Needed.Count > 0 ? $"{name} needs extensions that are not read: {string.Join(", ", materials.Needed)}"
                : $"{name} can't be read as glTF: what it says of its nodes, meshes, accessors and buffers does not hold together";
            return null;
        }
    }

    /// <summary>Nodes with where they are, from the roots down: a node asked for its own place looks for its parent among all nodes.</summary>
    private static IEnumerable<(Node Node, Matrix4x4 World)> Walk(IEnumerable<Node> nodes, Matrix4x4 parent)
    {
        foreach (var node in nodes)
        {
            var world = node.LocalMatrix * parent;
            yield return (node, world);
            foreach (var below in Walk(node.VisualChildren, world))
            {
                yield return below;
            }
        }
    }

    /// <summary>Whether the triangle has a size.</summary>
    private static bool Add(Vector3 a, Vector3 b, Vector3 c, List<Vector3> positions, List<Vector3> normals)
    {
        (a, b, c) = (Turn(a), Turn(b), Turn(c));
        var n = Vector3.Cross(b - a, c - a);
        if (!(n.LengthSquared() > 1e-20f) || !float.IsFinite(n.LengthSquared()))
        {
            return false;
        }

        n = Vector3.Normalize(n);
        positions.AddRange([a, b, c]);
        normals.AddRange([n, n, n]);
        return true;
    }

    private static Vector3 Turn(Vector3 v) => new(v.X, -v.Z, v.Y);
}

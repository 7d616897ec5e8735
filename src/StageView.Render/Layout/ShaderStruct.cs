using System.Globalization;
using System.Numerics;
using System.Reflection;
using System.Runtime.InteropServices;
using System.Text;

namespace StageView.Render.Layout;

/// <summary>Writes GLSL that finds the fields of a C# struct by their names, so that where each lies is said by the struct alone.</summary>
internal static class ShaderStruct
{
    /// <summary>Four floats.</summary>
    public const int RowBytes = 16;

    /// <summary>All fields in their order; structs within give theirs.</summary>
    public static IReadOnlyList<Column> Columns(Type type)
    {
        var columns = new List<Column>();
        Add(columns, type, "", 0);
        return columns;
    }

    /// <summary>
    /// For a table of rows that a buffer texture holds. Each row has a variable named after its first column (<c>beamApexRow</c>) and a number
    /// (<c>BEAM_APEX_ROW</c>); a
    /// column is <c>beamApex</c> where its row's variable is at hand, or <c>beamApexOf(first)</c> straight from the table, first being the group's first row.
    /// </summary>
    /// <param name="type">A struct whose size is a whole number of rows.</param>
    /// <param name="name">Such as <c>beam</c>.</param>
    /// <param name="table">The sampler's name.</param>
    /// <exception cref="InvalidOperationException">A column that does not lie within one row, or a size that is none of rows.</exception>
    public static string Rows(Type type, string name, string table)
    {
        var size = Marshal.SizeOf(type);
        if (size % RowBytes != 0)
        {
            throw new InvalidOperationException($"{type.Name} has {size} bytes, which are no whole rows");
        }

        var text = new StringBuilder();
        text.Append(CultureInfo.InvariantCulture, $"#define {Upper(name)}_ROWS {size / RowBytes}\n");
        var row = "";
        foreach (var c in Columns(type))
        {
            if (c.Offset % RowBytes == 0 && !row.StartsWith($"{c.Row} ", StringComparison.Ordinal))
            {
                row = $"{c.Row} {name}{c.Name}Row";
                text.Append(CultureInfo.InvariantCulture, $"#define {Upper(name)}_{Upper(c.Name)}_ROW {c.Row}\n");
            }

            if (c.Type == "mat4")
            {
                var rows = string.Join(", ", Enumerable.Range(c.Row, 4).Select(r => $"texelFetch({table}, (first) + {r})"));
                text.Append(CultureInfo.InvariantCulture, $"#define {name}{c.Name}Of(first) mat4({rows})\n");
                continue;
            }

            var at = c.Offset % RowBytes / sizeof(float);
            var count = c.Bytes / sizeof(float);
            if (at + count > 4)
            {
                throw new InvalidOperationException($"{type.Name}.{c.Name} lies in two rows");
            }

            var swizzle = count == 4 ? "" : string.Concat(".", "xyzw".AsSpan(at, count));
            text.Append(CultureInfo.InvariantCulture, $"#define {name}{c.Name} {row.Split(' ')[1]}{swizzle}\n");
            text.Append(CultureInfo.InvariantCulture, $"#define {name}{c.Name}Of(first) texelFetch({table}, (first) + {c.Row}){swizzle}\n");
        }

        return text.ToString();
    }

    /// <summary>
    /// The members of a uniform or storage block, in the rules that std140 and std430 share for blocks without arrays (OpenGL 4.6, section 7.6.2.2).
    /// </summary>
    /// <exception cref="InvalidOperationException">A member that these rules would put elsewhere than the struct does.</exception>
    public static string Members(Type type)
    {
        var text = new StringBuilder();
        var end = 0;
        foreach (var c in Columns(type))
        {
            var alignment = c.Bytes switch
            {
                <= 8 => c.Bytes,
                _ => RowBytes,
            };
            if (c.Offset != (end + alignment - 1) / alignment * alignment)
            {
                throw new InvalidOperationException($"{type.Name}.{c.Name} lies at {c.Offset}, where a shader would not look for it");
            }

            end = c.Offset + c.Bytes;
            text.Append(CultureInfo.InvariantCulture, $"  {c.Type} {Lower(c.Name)};\n");
        }

        return text.ToString();
    }

    /// <summary>As <c>#define NAME_BINDING 0</c>, one a line.</summary>
    public static string Bindings<T>()
        where T : struct, Enum =>
        string.Concat(Enum.GetValues<T>()
            .Select(v => string.Create(CultureInfo.InvariantCulture,
                $"#define {Upper(v.ToString())}_BINDING {Convert.ToUInt32(v, CultureInfo.InvariantCulture)}\n")));

    private static void Add(List<Column> columns, Type type, string before, int offset)
    {
        foreach (var field in type.GetFields(BindingFlags.Instance | BindingFlags.Public | BindingFlags.NonPublic))
        {
            var name = before + Plain(field.Name);
            var at = offset + (int)Marshal.OffsetOf(type, field.Name);
            var bytes = Marshal.SizeOf(field.FieldType);
            if (Glsl(field.FieldType) is { } glsl)
            {
                columns.Add(new Column(name, glsl, at, bytes));
                continue;
            }

            if (bytes == RowBytes)
            {
                columns.Add(new Column(name, "vec4", at, bytes));
            }

            Add(columns, field.FieldType, name, at);
        }
    }

    /// <summary>A record's field is named after its parameter.</summary>
    private static string Plain(string field) => field[0] == '<' ? field[1..field.IndexOf('>', StringComparison.Ordinal)] : field;

    private static string? Glsl(Type type) =>
        type == typeof(float) ? "float" : type == typeof(int) ? "int" : type == typeof(uint) ? "uint"
        : type == typeof(Vector2) ? "vec2" : type == typeof(Vector3) ? "vec3" : type == typeof(Vector4) ? "vec4" : type == typeof(Matrix4x4) ? "mat4" : null;

    private static string Lower(string name) => char.ToLowerInvariant(name[0]) + name[1..];

    /// <summary><c>CosSquared</c> as <c>COS_SQUARED</c>.</summary>
    private static string Upper(string name) => string.Concat(name.Select((c, i) => i > 0 && char.IsUpper(c) ? $"_{c}" : char.ToUpperInvariant(c).ToString()));
}

using Silk.NET.OpenGL;
using StageView.Ground.Indices;
using StageView.Light.Photometry;
using StageView.Render.Resources;

namespace StageView.Render.Beams;

/// <summary>
/// All photometric webs of a rig in one texture, each at its own polar angles, so that its edges stay as hard as they are. A web's first row tells, for
/// each cell of equal width from 0 to its last polar angle, the column at or below where the cell begins; the second has the columns' angles, rad; then
/// follows a row an azimuth. Filled when the rig's list changes.
/// </summary>
internal sealed unsafe class WebTable(GL gl) : IDisposable
{
    private const int LeastColumns = 512;
    private const int Azimuths = 73;
    private IReadOnlyList<PhotometricWeb>? _held;
    private Place[] _places = [];
    private uint _texture;

    public Place? Of(WebIndex web) => (uint)web.Value < (uint)_places.Length ? _places[web.Value] : null;

    public void Hold(IReadOnlyList<PhotometricWeb> webs)
    {
        if (ReferenceEquals(webs, _held))
        {
            return;
        }

        _held = webs;
        _places = new Place[webs.Count];
        var (rows, columns) = (0, LeastColumns);
        for (var i = 0; i < webs.Count; i++)
        {
            var polar = webs[i].PolarRadians;
            var count = webs[i].AzimuthRadians.Length == 1 ? 1 : Azimuths;
            _places[i] = new Place(rows, count, polar.Length - 1, polar[^1]);
            rows += 2 + count;
            columns = Math.Max(columns, polar.Length);
        }

        if (rows == 0)
        {
            return;
        }

        var table = new float[rows * columns];
        for (var i = 0; i < webs.Count; i++)
        {
            Fill(webs[i], _places[i], table.AsSpan(_places[i].FirstRow * columns), columns);
        }

        if (_texture == 0)
        {
            _texture = gl.GenTexture();
        }

        gl.ActiveTexture(TextureUnit.Texture31);
        gl.BindTexture(TextureTarget.Texture2D, _texture);
        fixed (float* p = table)
        {
            gl.TexImage2D(TextureTarget.Texture2D, 0, InternalFormat.R32f, (uint)columns, (uint)rows, 0, PixelFormat.Red, PixelType.Float, p);
        }

        gl.TexParameter(TextureTarget.Texture2D, TextureParameterName.TextureMinFilter, (int)GLEnum.Linear);
        gl.TexParameter(TextureTarget.Texture2D, TextureParameterName.TextureMagFilter, (int)GLEnum.Linear);
        gl.TexParameter(TextureTarget.Texture2D, TextureParameterName.TextureWrapS, (int)GLEnum.ClampToEdge);
        gl.TexParameter(TextureTarget.Texture2D, TextureParameterName.TextureWrapT, (int)GLEnum.ClampToEdge);
    }

    public void Bind()
    {
        if (_texture != 0)
        {
            gl.ActiveTexture(TextureUnit.Texture0 + Slots.WebImage);
            gl.BindTexture(TextureTarget.Texture2D, _texture);
        }
    }

    public void Dispose()
    {
        if (_texture != 0)
        {
            gl.DeleteTexture(_texture);
        }
    }

    private static void Fill(PhotometricWeb web, in Place place, Span<float> rows, int columns)
    {
        var polar = web.PolarRadians;
        var below = 0;
        for (var cell = 0; cell < columns; cell++)
        {
            while (below + 1 < polar.Length && polar[below + 1] <= place.LastPolar * cell / columns)
            {
                below++;
            }

            rows[cell] = below;
        }

        polar.CopyTo(rows[columns..]);
        for (var r = 0; r < place.Rows; r++)
        {
            var azimuth = place.Rows == 1 ? 0 : r * Math.Tau / (Azimuths - 1);
            for (var c = 0; c < polar.Length; c++)
            {
                rows[((2 + r) * columns) + c] = (float)web.At(polar[c], azimuth);
            }
        }
    }

    /// <param name="FirstRow">Of the web.</param>
    /// <param name="Rows">Azimuths.</param>
    /// <param name="LastColumn">Of its polar angles.</param>
    /// <param name="LastPolar">rad.</param>
    public readonly record struct Place(int FirstRow, int Rows, int LastColumn, float LastPolar);
}

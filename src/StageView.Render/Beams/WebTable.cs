using Silk.NET.OpenGL;
using StageView.Ground.Indices;
using StageView.Light.Photometry;
using StageView.Render.Resources;

namespace StageView.Render.Beams;

/// <summary>
/// All photometric webs of a rig in one texture: a row an azimuth, polar angles evenly from 0 to the web's last. Filled when the rig's list changes.
/// </summary>
internal sealed unsafe class WebTable(GL gl) : IDisposable
{
    private const int Columns = 512;
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
        var rows = 0;
        for (var i = 0; i < webs.Count; i++)
        {
            var count = webs[i].AzimuthRadians.Length == 1 ? 1 : Azimuths;
            _places[i] = new Place(rows, count, webs[i].PolarRadians[^1]);
            rows += count;
        }

        if (rows == 0)
        {
            return;
        }

        var table = new float[rows * Columns];
        for (var i = 0; i < webs.Count; i++)
        {
            var place = _places[i];
            for (var r = 0; r < place.Rows; r++)
            {
                var azimuth = place.Rows == 1 ? 0 : r * Math.Tau / (Azimuths - 1);
                for (var c = 0; c < Columns; c++)
                {
                    table[((place.FirstRow + r) * Columns) + c] = (float)webs[i].At(place.LastPolar * c / (Columns - 1.0), azimuth);
                }
            }
        }

        if (_texture == 0)
        {
            _texture = gl.GenTexture();
        }

        gl.ActiveTexture(TextureUnit.Texture31);
        gl.BindTexture(TextureTarget.Texture2D, _texture);
        fixed (float* p = table)
        {
            gl.TexImage2D(TextureTarget.Texture2D, 0, InternalFormat.R32f, Columns, (uint)rows, 0, PixelFormat.Red, PixelType.Float, p);
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

    public readonly record struct Place(int FirstRow, int Rows, float LastPolar);
}
